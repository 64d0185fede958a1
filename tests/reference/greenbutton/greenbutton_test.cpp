// Real interval data: samples of the NIST/SGIP Green Button SDK (github.com/MartyBurns/OpenESPI, commit
// eb666d9, folder greenbuttonsdk/GreenButtonDemoPage/data; LICENCE.md). Counts and sums: counted in the files
// by another program, without this reader.
#include "io/greenbutton/greenbutton.hpp"

#include <numeric>

#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/samples.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace std::chrono_literals;
using tests::utc;

namespace {

const std::string kMarch = "reference/greenbutton/hourlyForMonthMar.xml";
const std::string kClockChangeDays = "reference/greenbutton/coastal-2011-clock-change-days.xml";

MeterSeries series_of(const std::filesystem::path& file) {
    const auto feed = read_green_button(file);
    REQUIRE(feed.ok());
    CHECK(feed.value().warnings.empty());
    REQUIRE(feed.value().meters.size() == 1);
    REQUIRE(feed.value().meters[0].series.ok());
    return feed.value().meters[0].series.value();
}

MilliwattHours sum(const EnergySeries& series) {
    MilliwattHours total(0);
    for (const EnergyReading& reading : series) total += reading.energy;
    return total;
}

MilliwattHours sum(const std::vector<KeptOut>& readings) {
    MilliwattHours total(0);
    for (const KeptOut& reading : readings) total += reading.energy;
    return total;
}

// Hundred-thousandths of the currency, as printed.
std::int64_t printed_cost(Money cost) {
    CHECK(cost.count() % 10 == 0);
    return cost.count() / 10;
}

std::int64_t printed_cost(const MeterSeries& series) {
    std::int64_t total = 0;
    for (const auto& cost : series.costs) total += printed_cost(cost.value_or(Money(0)));
    return total;
}

MilliwattHours watt_hours(std::int64_t count) { return WattHours(count); }

// Hundred-thousandths per watt-hour by hour of the day and day of the week, both in UTC. Inferred: it is the
// one table of whole numbers that gives every printed cost of the set's priced files.
std::int64_t rate_at(Instant at) {
    constexpr std::array<int, 24> kWeekday = {24, 18, 12, 6, 3, 3, 3, 3,  3,  3,  3,  6,
                                              6,  6,  6,  6, 6, 6, 6, 12, 18, 24, 30, 30};
    constexpr std::array<int, 24> kWeekend = {12, 9, 6, 3, 3, 3, 3, 3, 3,  3,  3,  6,
                                              6,  6, 6, 6, 6, 6, 6, 9, 12, 15, 15, 15};
    const auto day = date::floor<date::days>(at);
    const date::weekday weekday{day};
    const auto hour = static_cast<std::size_t>((at - day) / 1h);
    return weekday == date::Saturday || weekday == date::Sunday ? kWeekend[hour] : kWeekday[hour];
}

void check_cost_law(const MeterSeries& series) {
    REQUIRE(series.costs.size() == series.kept.size());
    int broken = 0;
    for (std::size_t i = 0; i < series.kept.size(); ++i) {
        REQUIRE(series.costs[i].has_value());
        const std::int64_t rate = rate_at(series.kept[i].when.begin);
        const std::int64_t over =
            printed_cost(*series.costs[i]) - rate * (series.kept[i].energy.count() / 1000);
        broken += over < 0 || over >= rate;
    }
    CHECK(broken == 0);
}

struct Sample {
    std::string name;
    std::size_t readings;
    std::int64_t watt_hours;
    std::int64_t cost;
};

void check_month(const std::filesystem::path& file, const Sample& expected) {
    const MeterSeries series = series_of(file);
    CHECK(series.kept.size() == expected.readings);
    CHECK(series.kept_out.empty());
    CHECK(series.warnings.empty());
    CHECK(sum(series.kept) == watt_hours(expected.watt_hours));
    REQUIRE(series.stated.has_value());
    CHECK(series.stated->energy == watt_hours(expected.watt_hours));
    if (expected.cost != 0) CHECK(printed_cost(series) == expected.cost);
    check_cost_law(series);
}

}  // namespace

TEST_CASE("a month of hourly readings is read to the watt-hour", "[check:green-button-month]") {
    check_month(tests::committed(kMarch), {"", 743, 2'278'213, 24'840'246});
}

TEST_CASE("a month's meter is told with its clock, flow, currency and first reading",
          "[check:green-button-month]") {
    const auto feed = read_green_button(tests::committed(kMarch));
    REQUIRE(feed.ok());
    const GreenButtonMeter& meter = feed.value().meters.at(0);
    CHECK(meter.usage_point == "RetailCustomer/9b6c7063/UsagePoint/01");
    CHECK(meter.usage_point_title == "a galaxy far, far away");
    CHECK(meter.meter_reading == "RetailCustomer/9b6c7063/UsagePoint/01/MeterReading/01");
    CHECK(meter.title == "Hourly Electricity Consumption");
    REQUIRE(meter.local_time.has_value());
    CHECK(meter.local_time->standard_offset == -5h);
    CHECK(meter.local_time->summer_offset == 1h);
    const MeterSeries& series = meter.series.value();
    CHECK(series.flow == Flow::delivered);
    CHECK(series.currency == "USD");
    CHECK(series.interval == 1h);
    CHECK(series.kept.front() ==
          EnergyReading{{utc(2011, 3, 1, 5h), utc(2011, 3, 1, 6h)}, watt_hours(981), Quality::measured});
    CHECK(series.costs.front() == Money(29'440));  // 0.02944 of the currency
    CHECK(series.stated->period == Interval{utc(2011, 3, 1, 5h), utc(2011, 4, 1, 4h)});
}

TEST_CASE("the days clocks change are read with every fault listed and nothing lost",
          "[check:green-button-clock-change]") {
    const MeterSeries series = series_of(tests::committed(kClockChangeDays));
    CHECK(series.kept.size() == 46);
    REQUIRE(series.kept_out.size() == 2);
    CHECK(sum(series.kept) + sum(series.kept_out) == watt_hours(16'903 + 16'607));
    CHECK(series.kept_out[0].when == Interval{utc(2011, 3, 13, 17h), utc(2011, 3, 13, 18h)});
    CHECK(series.kept_out[0].energy == watt_hours(721));
    CHECK(series.kept_out[1].when == Interval{utc(2011, 11, 6, 9h), utc(2011, 11, 6, 9h)});
    CHECK(series.kept_out[1].energy == watt_hours(462));
    std::string told;
    for (const Fault& warning : series.warnings) told += text(warning).substr(warning.file.size()) + "\n";
    CHECK(
        told ==
        ":147: duration '2011-03-13T09:00:00Z to 2011-03-13T11:00:00Z, 461 Wh': is another length than the "
        "type's: "
        "kept as questionable. Allowed: 3600 s.\n"
        ":203: IntervalReading '2011-03-13T17:00:00Z to 2011-03-13T18:00:00Z, 721 Wh': overlaps a reading "
        "before "
        "it: kept out.\n"
        ":314: start '2011-03-14T08:00:00Z to 2011-11-06T07:00:00Z': leaves a gap before it.\n"
        ":328: IntervalReading '2011-11-06T09:00:00Z to 2011-11-06T09:00:00Z, 462 Wh': lasts 0 s: kept out.\n"
        ":391: start '2011-11-06T17:00:00Z to 2011-11-06T18:00:00Z': leaves a gap before it.\n");
}

TEST_CASE("the whole year with its two dirty days adds up", "[check:green-button-clock-change]") {
    const auto file = tests::sample("Coastal_Single_Family_Jan_1_2011_to_Jan_1_2012.xml");
    if (!file) SKIP_CASE("LULLWATT_SAMPLES names no folder with the year's file");
    const MeterSeries series = series_of(*file);
    CHECK(series.kept.size() == 8758);
    CHECK(series.kept_out.size() == 2);
    CHECK(sum(series.kept) + sum(series.kept_out) == watt_hours(6'562'977));
    CHECK(series.warnings.size() ==
          6);  // four of the readings', two of blocks that take no heed of summer time
    CHECK_FALSE(series.stated.has_value());
}

TEST_CASE("other months and fifteen days of quarter hours are read to the watt-hour",
          "[check:green-button-month]") {
    const std::vector<Sample> months = {{"hourlyForMonthJul.xml", 744, 0, 0},
                                        {"hourlyForMonthNov.xml", 721, 2'213'810, 23'926'706}};
    const auto quarters = tests::sample("15minLP_15Days.xml");
    for (const Sample& month : months) {
        if (!quarters || !tests::sample(month.name)) {
            SKIP_CASE("LULLWATT_SAMPLES names no folder with the months' files");
        }
    }
    check_month(*tests::sample("hourlyForMonthNov.xml"), months[1]);

    const MeterSeries july = series_of(*tests::sample("hourlyForMonthJul.xml"));
    CHECK(july.kept.size() == 744);
    CHECK(sum(july.kept) == july.stated->energy);
    check_cost_law(july);

    const MeterSeries series = series_of(*quarters);
    CHECK(series.kept.size() == 1340);
    CHECK(sum(series.kept) == watt_hours(1'397'734));
    CHECK(std::ranges::max(series.kept, {}, &EnergyReading::energy).energy == watt_hours(1662));
    CHECK(mean_power(std::ranges::max(series.kept, {}, &EnergyReading::energy)).count() == Approx(6648));
    CHECK(series.stated->energy == watt_hours(1'304'716));
    CHECK(series.warnings.empty());
    check_cost_law(series);
}
