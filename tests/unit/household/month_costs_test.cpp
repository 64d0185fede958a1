// What the bill so far tells a night: peaks and use from a meter's history, across bills and days.
#include "io/household/month_costs.hpp"

#include <fstream>
#include <string>

#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace lullwatt::tests;
using namespace std::chrono_literals;

namespace {

const std::string kHouse =
    "format: 1\nsite: {name: Home, zone: Etc/UTC, currency: CAD}\n"
    "service: {supply: split-phase, leg_to_neutral: 120 V, rating: 100 A, continuous: nec}\n"
    "circuits:\n  - {name: garage, fed_from: service, rating: 40 A}\n"
    "points:\n  - {name: wall, circuit: garage, hard_setting: 32 A}\n"
    "cars:\n  - {name: Heron, point: wall, battery: 60 kWh, most: 32 A}\n"
    "loads: [{node: service, history: history.csv, calculation: 60 A}]\n"
    "tariff: tariff.yaml\n";

// Hourly readings of 1 kWh from 1 December on, and one of 6 kWh on 3 January at 18:00.
std::string history(Instant end) {
    std::string text = "# lullwatt history 1\n# meter: house\n# legs: total\nstart,seconds,total\n";
    for (Instant at = utc(2025, 12, 1); at < end; at += 1h) {
        const bool high = at == utc(2026, 1, 3) + 18h;
        text += date::format("%FT%TZ", at) + ",3600," + (high ? "6000" : "1000") + "\n";
    }
    return text;
}

MilliwattHours watt_hours(std::int64_t count) { return WattHours(count); }

MonthOfNight month(const std::string& charges, Interval night, Instant recorded_until,
                   const MonthSoFar& stated = {}) {
    const Folder folder;
    std::ofstream(folder.file("site.yaml")) << kHouse;
    std::ofstream(folder.file("history.csv")) << history(recorded_until);
    std::ofstream(folder.file("tariff.yaml"))
        << "format: 1\nname: T\ncurrency: CAD\nrevisions:\n  - from: 2020-01-01\n    windows: [{name: all, "
           "per_kwh: 0.1}]\n    taxes: [{name: tax, percent: 10 %}]\n    "
        << charges << "\n";
    const auto read = load_household(folder.file("site.yaml"), night.begin);
    if (!read.ok()) {
        for (const Fault& fault : read.faults()) WARN(text(fault));
    }
    REQUIRE(read.ok());
    const Household& house = read.value();
    plan::Problem problem;
    problem.per_ampere = Watts(240);
    for (Instant at = night.begin; at < night.end; at += 5min)
        problem.slots.push_back({{at, at + 5min}, Rate(0), WholeAmps(32), {}});
    const auto loads = io::loads(house, {night.begin - 24h, night.end + 24h});
    return month_of_night(house, 0, problem, loads, night.begin, stated);
}

}  // namespace

TEST_CASE("the peak so far is that of the bill's readings, and what costs no more is free") {
    const Interval night{utc(2026, 1, 10) + 20h, utc(2026, 1, 11) + 6h};
    const std::string charge = "demand: [{name: power, interval: 60 min, per_kw: 8}]";
    const MonthOfNight found = month(charge, night, utc(2026, 1, 10));
    REQUIRE(found.costs.peaks.size() == 1);
    CHECK(found.peaks[0].known == Known::readings);
    CHECK(found.peaks[0].until == utc(2026, 1, 10));
    CHECK(found.peaks[0].so_far == Milliwatts(6'000'000));
    const plan::PeakCharge& peak = found.costs.peaks[0];
    CHECK(peak.free == Milliwatts(6'000'000));
    REQUIRE(peak.intervals.size() == 10);
    CHECK(peak.intervals[0].first == 0);
    CHECK(peak.intervals[0].last == 12);
    CHECK(peak.intervals[0].house == Milliwatts(1'000'000));  // a total is not made more by planning its legs
    CHECK((peak.cost(Milliwatts(7'000'000)) - peak.cost(peak.free)).atto() ==
          Wide{8'800'000} * 1'000'000'000'000);

    SECTION("as told, where the household tells it") {
        const MonthOfNight told =
            month(charge, night, utc(2026, 1, 10), {.peak = Milliwatts(3'000'000), .use = {}});
        CHECK(told.peaks[0].known == Known::stated);
        CHECK(told.costs.peaks[0].free == Milliwatts(3'000'000));
    }
    SECTION("not known where the readings end before the bill") {
        const MonthOfNight old = month(charge, night, utc(2025, 12, 28));
        CHECK(old.peaks[0].known == Known::nothing);
        CHECK(old.costs.peaks[0].free == Milliwatts(1'000'000));
    }
    SECTION("up to a whole kilowatt where the charge rounds up") {
        const MonthOfNight rounded =
            month("demand: [{name: power, interval: 60 min, per_kw: 8, round_to: 4 kW, rounding: up}]", night,
                  utc(2026, 1, 10));
        CHECK(rounded.costs.peaks[0].free == Milliwatts(8'000'000));
    }
}

TEST_CASE("a night over two bills has a peak of each") {
    const Interval night{utc(2026, 1, 31) + 20h, utc(2026, 2, 1) + 6h};
    const MonthOfNight found =
        month("demand: [{name: power, interval: 60 min, per_kw: 8}]", night, utc(2026, 1, 31) + 20h);
    REQUIRE(found.costs.peaks.size() == 2);
    CHECK(found.costs.peaks[0].intervals.size() == 4);
    CHECK(found.costs.peaks[0].free == Milliwatts(6'000'000));
    CHECK(found.costs.peaks[1].intervals.size() == 6);
    CHECK(found.costs.peaks[1].intervals[0].first == 48);
    CHECK(found.costs.peaks[1].free == Milliwatts(1'000'000));
}

TEST_CASE("only hours that count hold demand intervals, with the share they count for") {
    const Interval night{utc(2026, 1, 12) + 14h, utc(2026, 1, 13) + 6h};
    const MonthOfNight found = month(
        "demand: [{name: power, interval: 30 min, per_kw: 8, hours: [{from: \"15:00\", to: \"17:00\"}, "
        "{from: \"22:00\", to: \"23:00\", counts: 50 %}]}]",
        night, utc(2026, 1, 12));
    REQUIRE(found.costs.peaks.size() == 1);
    REQUIRE(found.costs.peaks[0].intervals.size() == 6);
    CHECK(found.costs.peaks[0].intervals[0].first == 12);
    CHECK(found.costs.peaks[0].intervals[0].last == 18);
    CHECK(found.costs.peaks[0].intervals[4].share == 500'000);
}

TEST_CASE("a demand that counts at any moment counts in each slot") {
    const Interval night{utc(2026, 1, 12) + 14h, utc(2026, 1, 12) + 15h};
    const MonthOfNight found =
        month("demand: [{name: power, interval: 15 min, rolling: true, per_kw: 8}]", night, utc(2026, 1, 12));
    REQUIRE(found.costs.peaks.size() == 1);
    CHECK(found.peaks[0].by_slot);
    REQUIRE(found.costs.peaks[0].intervals.size() == 12);
    CHECK(found.costs.peaks[0].intervals[3].length == Seconds{300});
    CHECK(found.costs.peaks[0].intervals[3].last == 4);
}

TEST_CASE("the mean of the three highest days is free up to what does not change it") {
    const Interval night{utc(2026, 1, 12) + 20h, utc(2026, 1, 12) + 23h};
    const MonthOfNight found =
        month("demand: [{name: power, interval: 60 min, highest_of: 3, distinct: days, per_kw: 3}]", night,
              utc(2026, 1, 12));
    // 6, 1 and 1 kW: a day of 2.5 kW makes the mean 3.17 instead of 2.67 kW, so 0.50 kW at 3, with tax.
    const plan::PeakCharge& peak = found.costs.peaks.at(0);
    CHECK(peak.free >= Milliwatts(1'000'000));
    CHECK(peak.free <= Milliwatts(1'000'002));  // a mean is told to the milliwatt
    CHECK((peak.cost(Milliwatts(2'500'000)) - peak.cost(peak.free)).atto() / 1'000'000'000'000 == 1'650'000);
}

TEST_CASE("a block's use is what is recorded and what the weeks before let expect") {
    const Interval night{utc(2026, 1, 11) + 20h, utc(2026, 1, 12) + 6h};
    const std::string block =
        "blocks: [{name: tiers, steps: [{up_to: 600 kWh, per_kwh: 0.05}, {per_kwh: 0.15}]}]";
    const MonthOfNight found = month(block, night, utc(2026, 1, 11));
    REQUIRE(found.costs.steps.size() == 1);
    CHECK(found.steps[0].so_far == watt_hours(245'000));  // ten days of 24 kWh, and 5 more in one hour
    // 28 days of 24 kWh and 5: 677 kWh, of which 21 days are 507.75.
    CHECK(found.steps[0].expected == watt_hours(507'750));
    const plan::StepAccount& account = found.costs.steps[0];
    CHECK(account.used == watt_hours(752'750));
    CHECK(account.held == Rate(165'000'000'000));
    CHECK(account.steps[0].rate == Rate(55'000'000'000));
    CHECK(account.steps[0].up_to == watt_hours(600'000));

    SECTION("a block by the day counts each day for itself") {
        const MonthOfNight daily = month(
            "blocks: [{name: tiers, over: day, steps: [{up_to: 30 kWh, per_kwh: 0.05}, {per_kwh: 0.15}]}]",
            night, utc(2026, 1, 11) + 20h);
        REQUIRE(daily.costs.steps.size() == 2);
        CHECK(daily.steps[0].so_far == watt_hours(20'000));
        CHECK(daily.costs.steps[0].slots[47]);
        CHECK_FALSE(daily.costs.steps[0].slots[48]);
        CHECK(daily.costs.steps[1].slots[48]);
    }
    SECTION("where nothing is recorded it counts at its dearest step, unless the household tells its use") {
        const CivilDate january{date::year{2026} / 1 / 1};
        CHECK(month(block, night, utc(2025, 12, 20)).at_dearest ==
              std::vector<UnknownUse>{{"tiers", january, false, true}});
        const MonthOfNight told =
            month(block, night, utc(2025, 12, 20), {.peak = {}, .use = WattHours(100'000)});
        CHECK(told.steps.at(0).known == Known::stated);
        CHECK(told.steps.at(0).so_far == watt_hours(100'000));
    }
}

TEST_CASE("a charge by a mean of each day's highest, or one that falls with power, is said to be left out") {
    const Interval night{utc(2026, 1, 12) + 20h, utc(2026, 1, 12) + 23h};
    const auto left_out = [&](const std::string& charge) {
        const MonthOfNight found = month("demand: [{name: power, " + charge + "}]", night, utc(2026, 1, 12));
        CHECK(found.costs.peaks.empty());
        return found.not_counted;
    };
    const std::vector<std::string> power = {"power"};
    CHECK(left_out("measure: mean-of-daily, per_kw: 3") == power);
    CHECK(left_out("highest_of: 3, per_kw: 3") == power);
    CHECK(left_out("band: whole, steps: [{up_to: 3 kW, per_kw: 8}, {per_kw: 2}]") == power);
}

TEST_CASE("of a bill that begins in the night nobody is asked what it has counted") {
    const Interval night{utc(2026, 1, 31) + 20h, utc(2026, 2, 1) + 6h};
    const MonthSoFar told{.peak = {}, .use = WattHours(100'000)};
    const std::string steps = "steps: [{up_to: 600 kWh, per_kwh: 0.05}, {per_kwh: 0.15}]}]";
    const std::string block = "blocks: [{name: tiers, " + steps;
    const CivilDate january{date::year{2026} / 1 / 1};
    CHECK(month(block, night, utc(2025, 12, 20)).at_dearest ==
          std::vector<UnknownUse>{{"tiers", january, false, true}});
    const MonthOfNight known = month(block, night, utc(2025, 12, 20), told);
    CHECK(known.at_dearest.empty());
    REQUIRE(known.steps.size() == 2);
    CHECK(known.steps[0].so_far == watt_hours(100'000));
    CHECK(known.steps[1].so_far == watt_hours(0));
    CHECK(known.steps[1].expected > watt_hours(600'000));  // all of February as December was
    SECTION("nor of a day, of which no option tells") {
        const std::string daily = "blocks: [{name: tiers, over: day, " + steps;
        CHECK(month(daily, night, utc(2025, 12, 20), told).at_dearest ==
              std::vector<UnknownUse>{{"tiers", CivilDate{date::year{2026} / 1 / 31}, false, false}});
    }
}

TEST_CASE("whether the free peak is the bill's so far, the house's tonight or other points' is told") {
    const Interval night{utc(2026, 1, 10) + 20h, utc(2026, 1, 11) + 6h};
    const std::string charge = "demand: [{name: power, interval: 60 min, per_kw: 8}]";
    const MonthOfNight recorded = month(charge, night, utc(2026, 1, 10));
    CHECK_FALSE(recorded.peaks[0].by_house);  // 6 kW were counted, tonight are 1
    const MonthOfNight little =
        month(charge, night, utc(2026, 1, 10), {.peak = Milliwatts(500'000), .use = {}});
    CHECK(little.peaks[0].by_house);
    CHECK_FALSE(little.peaks[0].by_others);
}
