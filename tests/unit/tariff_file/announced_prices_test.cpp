#include "io/tariff_file/announced_prices.hpp"

#include <fstream>
#include <unistd.h>

#include <date/date.h>

#include "core/tariff/price_curve.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace std::chrono_literals;
using date::operator""_y;
using date::sys_days;

namespace {

// A folder of its own, gone with the test.
class Folder {
  public:
    Folder() {
        std::string pattern = (std::filesystem::temp_directory_path() / "lullwatt-prices-XXXXXX").string();
        REQUIRE(mkdtemp(pattern.data()) != nullptr);
        path_ = pattern;
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code error;
        std::filesystem::remove_all(path_, error);
    }

    [[nodiscard]] std::filesystem::path write(const std::string& content) const {
        const auto file = path_ / "p.csv";
        std::ofstream(file, std::ios::binary) << content;
        return file;
    }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

  private:
    std::filesystem::path path_;
};

std::vector<std::string> messages(const std::string& csv, const AnnouncedFormat& format = {}) {
    const Folder folder;
    const auto file = folder.write(csv);
    const auto read = read_announced_prices(file, format);
    std::vector<std::string> texts;
    if (read.ok()) return texts;
    for (Fault fault : read.faults()) {
        CHECK(fault.file == file.string());
        fault.file = "p.csv";
        texts.push_back(text(fault));
    }
    return texts;
}

}  // namespace

TEST_CASE("announced prices hold for their length, what lies between rows is not announced") {
    const Folder folder;
    const auto file = folder.write(
        "\xEF\xBB\xBFstart,price\r\n2026-06-01T00:00Z,0.25\r\n2026-06-01T01:00Z,-0.01\r\n"
        "2026-06-01T05:00+02:00,1\r\n");
    const auto read = read_announced_prices(file, {});
    REQUIRE(read.ok());
    const auto& prices = read.value();
    REQUIRE(prices.size() == 3);
    const Instant day = sys_days{2026_y / 6 / 1};
    CHECK(prices[0].when == Interval{day, day + 1h});
    CHECK(prices[1].rate == Rate(-10'000'000'000));
    CHECK(prices[2].when == Interval{day + 3h, day + 4h});
    SECTION("by the quarter, per megawatt-hour") {
        const auto quarters = read_announced_prices(file, {.every = 15min, .per_megawatt_hour = true});
        REQUIRE(quarters.ok());
        CHECK(quarters.value()[0].when.length() == 15min);
        CHECK(quarters.value()[0].rate == Rate(250'000'000));
    }
}

TEST_CASE("the night of 25 hours has its repeated hour twice, the night of 23 hours lacks one") {
    // Europe: 2026-10-25T01:00Z back to +01:00, 2026-03-29T01:00Z forward to +02:00.
    const Folder folder;
    const auto autumn = read_announced_prices(folder.write("start,price\n2026-10-25T01:00+02:00,0.1\n"
                                                           "2026-10-25T02:00+02:00,0.2\n"
                                                           "2026-10-25T02:00+01:00,0.3\n"
                                                           "2026-10-25T03:00+01:00,0.4\n"),
                                              {});
    REQUIRE(autumn.ok());
    CHECK(autumn.value().back().when.end - autumn.value().front().when.begin == 4h);
    const auto spring = read_announced_prices(folder.write("start,price\n2026-03-29T01:00+01:00,0.1\n"
                                                           "2026-03-29T03:00+02:00,0.2\n"),
                                              {});
    REQUIRE(spring.ok());
    CHECK(spring.value().back().when.end - spring.value().front().when.begin == 2h);
}

TEST_CASE("each mistake in a file of prices is told whole") {
    CHECK(messages("") == std::vector<std::string>{"p.csv: holds no prices. Allowed: rows of start,price."});
    CHECK(messages("start;price\n") ==
          std::vector<std::string>{"p.csv:1: 'start;price': is no header of announced prices. Allowed: "
                                   "start,price. Mend: name the two columns in the first line."});
    CHECK(messages("start,price\n2026-06-01T00:00,0.1\n2026-02-30T00:00Z,0.1\n") ==
          std::vector<std::string>{
              "p.csv:2: start '2026-06-01T00:00': has no offset from UTC. Allowed: '2026-10-25T02:00Z' or "
              "'2026-10-25T02:00+02:00'.",
              "p.csv:3: start '2026-02-30T00:00Z': is no instant. Allowed: '2026-10-25T02:00Z' or "
              "'2026-10-25T02:00+02:00'."});
    CHECK(messages("start,price\n2026-06-01T00:00Z,0,1\n2026-06-01T01:00Z,\n") ==
          std::vector<std::string>{
              "p.csv:2: price '0,1': is no price. Allowed: digits and at most one point. Mend: write a "
              "decimal point, and nothing behind it.",
              "p.csv:3: price: is no price. Allowed: digits and at most one point."});
    CHECK(messages("start,price\n2026-06-01T00:00Z,0.1\n2026-06-01T00:15Z,0.1\n2026-06-01T00:00Z,0.1\n") ==
          std::vector<std::string>{
              "p.csv:3: start '2026-06-01T00:15Z': begins before the row above it has ended. Allowed: "
              "ascending rows, 60 min apart or more. Mend: state the true length as 'prices_every' in the "
              "tariff file.",
              "p.csv:4: start '2026-06-01T00:00Z': is not after the row above it. Allowed: ascending rows, "
              "60 min apart or more. Mend: put the rows in order, each start once."});
    CHECK(
        messages("start,price\n2026-06-01T00:00Z,45.3\n2026-06-01T01:00Z,51.3\n",
                 {.implausible = Rate(2'000'000'000'000)}) ==
        std::vector<std::string>{
            "p.csv:2: price '45.3': is more than a kilowatt-hour costs: is it for a megawatt-hour? Allowed: "
            "a price below 2 per kWh. Mend: state 'prices_per: MWh' in the tariff file, or 'large_rates: "
            "yes'."});
}

TEST_CASE("a file of nothing but faults stops after twenty and says so") {
    std::string csv = "start,price\n";
    for (int i = 0; i < 50; ++i) csv += "never,0.1\n";
    const auto texts = messages(csv);
    REQUIRE(texts.size() == 21);
    CHECK(texts.back() == "p.csv: may hold more faults than these. Mend: mend these first.");
}

TEST_CASE("a tariff with announced prices adds its parts and its tax, and assumes what is missing") {
    const Folder folder;
    (void)folder.write("start,price\n2026-06-01T00:00Z,400\n2026-06-01T00:15Z,-100\n");
    const auto read = read_tariff_text(
        "format: 1\nname: Quarter\ncurrency: EUR\noffset: \"+00:00\"\nprices_from: p.csv\n"
        "prices_every: 15 min\nprices_per: MWh\nfallback_per_kwh: 0.5\nrevisions:\n  - from: 2026-01-01\n"
        "    adders: [{name: network, per_kwh: 0.1}]\n    taxes: [{name: tax, percent: 20 %}]\n",
        "t.yaml", folder.path());
    REQUIRE(read.ok());
    const Instant day = sys_days{2026_y / 6 / 1};
    const auto priced = tariff::price_curve(read.value(), Zone::fixed(0s), {day, day + 1h});
    const auto& curve = std::get<tariff::PriceCurve>(priced);
    REQUIRE(curve.size() == 3);
    CHECK(curve[0].marginal == Rate(600'000'000'000));
    CHECK(curve[1].marginal == Rate(0));
    CHECK(curve[2] ==
          tariff::PricePiece{
              {day + 30min, day + 1h}, Rate(600'000'000'000), Rate(720'000'000'000), "assumed", true});
}
