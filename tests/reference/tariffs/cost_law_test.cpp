// The costs printed in real interval files, reproduced by a tariff file that states their law.
#include <array>
#include <cstdlib>
#include <filesystem>

#include "io/greenbutton/greenbutton.hpp"
#include "support/catch.hpp"
#include "support/tariff_reading.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using date::operator""_y;
using date::sys_days;

namespace {

// Costs in files are in 1e-5 dollars; an ExactAmount is in 1e-18.
constexpr Wide kAttoPerCost = Wide{10'000'000'000'000};

const Interval kYears{sys_days{2011_y / 1 / 1}, sys_days{2013_y / 1 / 1}};

tariff::Tariff law() { return testing::read_tariff("tests/reference/tariffs/green-button-cost-law.yaml"); }

io::MeterSeries readings(const std::filesystem::path& file) {
    auto read = io::read_green_button(file);
    REQUIRE(read.ok());
    REQUIRE(read.value().meters.size() == 1);
    auto& series = read.value().meters.front().series;
    REQUIRE(series.ok());
    return series.value();
}

struct Sums {
    std::size_t readings = 0;
    std::size_t outside = 0;  // 0 <= printed cost - rate x value < rate does not hold
    long long printed = 0;    // 1e-5 dollars
    long long priced = 0;
};

Sums compare(const io::MeterSeries& series, const tariff::PriceCurve& curve) {
    Sums sums;
    Wide priced = 0;
    for (std::size_t i = 0; i < series.kept.size(); ++i) {
        REQUIRE(series.costs[i]);
        const Rate rate = tariff::price_at(curve, series.kept[i].when.begin).rate;
        const Wide amount = (series.kept[i].energy * rate).atto();
        const Wide printed = Wide{series.costs[i]->count()} / 10 * kAttoPerCost;  // Money is 1e-6
        const Wide one_watt_hour = (MilliwattHours(1000) * rate).atto();
        ++sums.readings;
        if (printed < amount || printed - amount >= one_watt_hour) ++sums.outside;
        sums.printed += series.costs[i]->count() / 10;
        priced += amount;
    }
    sums.priced = static_cast<long long>(priced / kAttoPerCost);
    return sums;
}

const char* const kMarch = LULLWATT_SOURCE_DIR "/tests/reference/greenbutton/hourlyForMonthMar.xml";

}  // namespace

TEST_CASE("the cost law reproduces every printed cost of March within its truncation",
          "[check:green-button-cost-law]") {
    const Sums march = compare(readings(kMarch), testing::curve(law(), kYears));
    CHECK(march.readings == 743);
    CHECK(march.outside == 0);
    CHECK(march.printed == 24'840'246);
    CHECK(march.priced == 24'837'120);
}

TEST_CASE("the same law by a wall clock that changes is told apart", "[check:green-button-cost-law]") {
    // The United States change of 2011-03-13, 02:00 by a clock five hours behind UTC.
    const Zone wall{"test/wall",
                    {{Instant{0s}, 0h, ""}, {sys_days{2011_y / 3 / 13} + 7h, 1h, ""}},
                    {Instant{0s}, kYears.end}};
    const auto priced =
        tariff::price_curve(law(), wall, {sys_days{2011_y / 1 / 1}, sys_days{2012_y / 1 / 1}});
    const Sums march = compare(readings(kMarch), std::get<tariff::PriceCurve>(priced));
    CHECK(march.priced == 24'202'830);
    CHECK(march.outside > 0);
}

TEST_CASE("the cost law holds for every priced sample file", "[check:green-button-cost-law]") {
    const char* folder = std::getenv("LULLWATT_SAMPLES");
    if (folder == nullptr) SKIP_CASE("LULLWATT_SAMPLES names no folder of sample files");
    struct Expected {
        const char* file;
        std::size_t readings;
        long long printed;  // 0: not known beforehand
    };
    constexpr std::array kFiles = {Expected{"hourlyForMonthMar.xml", 743, 24'840'246},
                                   Expected{"hourlyForMonthNov.xml", 721, 23'926'706},
                                   Expected{"hourlyForMonthJul.xml", 744, 0},
                                   Expected{"15minLP_15Days.xml", 1340, 0}};
    const auto curve = testing::curve(law(), kYears);
    for (const Expected& expected : kFiles) {
        INFO(expected.file);
        const Sums sums = compare(readings(std::filesystem::path(folder) / expected.file), curve);
        CHECK(sums.readings == expected.readings);
        CHECK(sums.outside == 0);
        if (expected.printed != 0) CHECK(sums.printed == expected.printed);
    }
}
