// Which intervals a demand charge counts, and what it bills for them.
#include "core/account/demand.hpp"

#include "support/billing.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using account::DateSpan;
using date::operator""_y;
using date::sys_days;
using tariff::DemandCharge;

namespace {

constexpr DateSpan kJanuary{2026_y / 1 / 1, 2026_y / 2 / 1};

// Each reading a quarter of an hour from `begin` on, in watts of mean power.
EnergySeries quarters(Instant begin, std::vector<std::int64_t> watts) {
    EnergySeries series;
    for (const std::int64_t power : watts) {
        series.push_back({{begin, begin + 15min}, MilliwattHours(power * 250)});
        begin += 15min;
    }
    return series;
}

std::int64_t watts_of(const DemandCharge& charge, const EnergySeries& series) {
    const tariff::Tariff tariff{.name = "t", .currency = "USD"};
    const auto intervals = account::demand_intervals(tariff, Zone::fixed(0h), charge, kJanuary, series);
    return account::measured_demand(charge, intervals).power.count() / 1000;
}

DemandCharge charge_of(Seconds interval) { return {.name = "peak", .interval = interval}; }

const Instant kNoon = sys_days{2026_y / 1 / 5} + 12h;  // a Monday

}  // namespace

TEST_CASE("an interval with a gap in it does not count") {
    auto series = quarters(kNoon, {4000, 4000, 4000, 4000, 1000, 1000, 1000, 1000});
    CHECK(watts_of(charge_of(1h), series) == 4000);
    series.erase(series.begin() + 1);
    CHECK(watts_of(charge_of(1h), series) == 1000);
}

TEST_CASE("a reading longer than the interval counts as its own mean") {
    const EnergySeries hour = {{{kNoon, kNoon + 1h}, MilliwattHours(3'000'000)}};
    CHECK(watts_of(charge_of(15min), hour) == 3000);
}

TEST_CASE("hours count by their share, the first that holds an interval") {
    DemandCharge charge = charge_of(15min);
    const tariff::DaySet workdays{{false, true, true, true, true, true, false}, false};
    charge.hours = {{.days = workdays, .from = 12h, .to = 13h}, {.from = 22h, .to = 6h, .share = 500'000}};
    CHECK(watts_of(charge, quarters(kNoon, {2000, 3000})) == 3000);
    CHECK(watts_of(charge, quarters(kNoon + 12h, {5000})) == 2500);   // midnight
    CHECK(watts_of(charge, quarters(kNoon + 6h, {9000})) == 0);       // eighteen o'clock
    CHECK(watts_of(charge, quarters(kNoon + 5 * 24h, {9000})) == 0);  // Saturday noon
    // The last quarter before and the first after the hours.
    CHECK(watts_of(charge, quarters(kNoon - 15min, {9000, 1000})) == 1000);
}

TEST_CASE("a rolling hour at the edge of its hours must lie in them whole") {
    DemandCharge charge = charge_of(1h);
    charge.rolling = true;
    charge.hours = {{.from = 12h, .to = 14h}};
    CHECK(watts_of(charge, quarters(kNoon - 1h, {9000, 9000, 9000, 9000, 1000, 2000, 3000, 4000, 5000, 0, 0,
                                                 0})) == 3500);
}

TEST_CASE("the mean of the highest of days or weeks of their own") {
    const auto series = [] {
        EnergySeries all;
        for (const auto& [day, power] :
             std::vector<std::pair<int, int>>{{0, 9000}, {1, 6000}, {2, 3000}, {7, 1000}}) {
            for (const auto& reading : quarters(kNoon + day * 24h, {power, power - 100}))
                all.push_back(reading);
        }
        return all;
    }();
    DemandCharge charge = charge_of(15min);
    charge.highest_of = 3;
    CHECK(watts_of(charge, series) == (9000 + 8900 + 6000) / 3);
    charge.distinct = DemandCharge::Distinct::days;
    CHECK(watts_of(charge, series) == 6000);
    charge.distinct = DemandCharge::Distinct::weeks;
    charge.highest_of = 2;
    CHECK(watts_of(charge, series) == 5000);
    charge.measure = DemandCharge::Measure::mean_of_daily;
    CHECK(watts_of(charge, series) == (9000 + 6000 + 3000 + 1000) / 4);
}

TEST_CASE("what is billed: with bills before, by a ratchet, never below the least, rounded") {
    account::Carried before;
    before.peaks = {{"peak", 2025_y / 11 / 1, Milliwatts(10'000'000), 1},
                    {"other", 2025_y / 12 / 1, Milliwatts(99'000'000), 2},
                    {"peak", 2025_y / 12 / 1, Milliwatts(4'000'000), 2}};
    before.bills = 3;  // this one's number
    DemandCharge charge = charge_of(15min);
    const auto billed = [&](std::int64_t watts) {
        return account::billed_demand(charge, Milliwatts(watts * 1000), before).count() / 1000;
    };
    CHECK(billed(3000) == 3000);
    charge.mean_of_bills = 2;
    CHECK(billed(3000) == 3500);
    charge.mean_of_bills = 12;
    CHECK(billed(3000) == 5667 - 1);  // 17/3 kW, cut to watts here
    charge.mean_of_bills = 1;
    charge.ratchet = DemandCharge::Ratchet{600'000, 1};
    CHECK(billed(2000) == 2400);
    charge.ratchet->months = 2;
    CHECK(billed(2000) == 6000);
    charge.ratchet.reset();
    charge.least = Milliwatts(2'500'000);
    CHECK(billed(2000) == 2500);
    charge.round_to = Milliwatts(1'000'000);
    CHECK(billed(3499) == 3000);
    CHECK(billed(3500) == 4000);
    charge.rounding = DemandCharge::Rounding::up;
    CHECK(billed(3001) == 4000);
    charge.rounding = DemandCharge::Rounding::down;
    CHECK(billed(3999) == 3000);
    CHECK(billed(2000) == 2500);  // the least is not rounded away
    charge.round_to = Milliwatts(0);
    charge.least = Milliwatts(0);
    charge.mean_of_bills = 12;
    charge.least_each = Milliwatts(5'000'000);
    CHECK(billed(2000) == 6667 - 1);  // (10 + 5 + 5) / 3
    charge.mean_of_bills = 1;
    charge.least_each = Milliwatts(0);
    charge.ratchet = DemandCharge::Ratchet{800'000, 11};
    before.bills = 12;
    CHECK(billed(2000) == 8000);
    before.bills = 13;  // the bill of 10 kW is twelve bills ago
    CHECK(billed(2000) == 3200);
}

TEST_CASE("prices by step: each step at its own, all at the last one's, or an amount for the step") {
    tariff::Tariff tariff{.name = "t", .currency = "USD"};
    tariff.revisions = {{.from = 2025_y / 1 / 1, .windows = {{.name = "energy"}}}};
    DemandCharge charge = charge_of(15min);
    const DemandRate low(8'030'000'000'000);
    const DemandRate high(14'630'000'000'000);
    charge.steps = {{Milliwatts(3'000'000), low}, {{}, high}};
    const auto amount = [&](std::int64_t watts) {
        tariff.revisions[0].demand = {charge};
        account::Typed use{{{"", MilliwattHours(0)}}, {}, {{"", Milliwatts(watts * 1000)}}};
        return testing::bill(tariff, kJanuary, use).total;
    };
    CHECK(amount(5000) == Money(53'350'000));  // 3 x 8.03 + 2 x 14.63
    CHECK(amount(3000) == Money(24'090'000));
    charge.whole_band = true;
    CHECK(amount(5000) == Money(73'150'000));
    charge.steps = {{Milliwatts(2'000'000), {}, Money(10'000'000)},
                    {Milliwatts(5'000'000), {}, Money(20'000'000)},
                    {{}, {}, Money(35'000'000)}};
    CHECK(amount(2000) == Money(10'000'000));
    CHECK(amount(2001) == Money(20'000'000));
    CHECK(amount(5000) == Money(20'000'000));
    CHECK(amount(50'000) == Money(35'000'000));
}
