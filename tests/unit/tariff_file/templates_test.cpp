// Every tariff under config prices a year, whatever its structure.
#include <filesystem>

#include "core/tariff/window.hpp"
#include "support/billing.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using date::operator""_y;
using date::sys_days;

TEST_CASE("every tariff to begin from prices a year of hours") {
    const account::DateSpan year{2026_y / 1 / 1, 2027_y / 1 / 1};
    account::Metered usage;
    for (Instant at = sys_days{year.from} - 24h; at < sys_days{year.to} + 24h; at += 1h)
        usage.taken.push_back({{at, at + 1h}, MilliwattHours(1'000'000)});
    account::Terms terms;
    terms.fuse = WholeAmps(25);
    terms.contracted = Milliwatts(9'000'000);
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::directory_iterator(LULLWATT_SOURCE_DIR "/config/tariffs")) {
        if (entry.path().extension() != ".yaml") continue;
        INFO(entry.path());
        const auto tariff = tariff::with_prices_of(
            testing::read_tariff("config/tariffs/" + entry.path().filename().string()), 2026_y / 11 / 1);
        REQUIRE(tariff);
        const auto made = account::bills(*tariff, testing::clock_of(*tariff, year),
                                         tariff::bills_in({}, year), usage, terms);
        REQUIRE(std::holds_alternative<std::vector<account::Bill>>(made));
        for (const auto& bill : std::get<std::vector<account::Bill>>(made)) {
            CHECK(bill.total > Money(0));
            CHECK(bill.without_readings == 0s);
        }
        ++files;
    }
    CHECK(files >= 13);
}
