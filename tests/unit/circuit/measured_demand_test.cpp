#include "core/circuit/measured_demand.hpp"

#include <algorithm>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::circuit;

namespace {

constexpr Instant kStart{Seconds{1'750'000'000 / 3600 * 3600}};

EnergySeries readings(int days, Seconds length, std::int64_t watt_hours) {
    EnergySeries series;
    for (Instant at = kStart; at < kStart + Seconds{days * 86400}; at += length)
        series.push_back({{at, at + length}, WattHours(watt_hours)});
    return series;
}

MeasuredInput year() {
    return {.total = readings(365, Seconds{900}, 1200),
            .cars = CarsInData::none,
            .across = Volts(240),
            .service = Amps(100)};
}

Instant now_of(const MeasuredInput& input) {
    return input.total.empty() ? kStart : input.total.back().when.end + Seconds{86400};
}

std::vector<std::string> unmet(const MeasuredInput& input) {
    std::vector<std::string> all;
    const MeasuredDemand found = measured_demand(input, now_of(input));
    CHECK(found.usable() == std::ranges::all_of(found.conditions, &Condition::met));
    for (const Condition& one : found.conditions) {
        if (!one.met) all.push_back(one.what + ": " + one.figures);
    }
    return all;
}

using Unmet = std::vector<std::string>;

}  // namespace

TEST_CASE("each condition on measured demand is judged by itself") {
    MeasuredInput input = year();
    CHECK(unmet(input).empty());
    SECTION("generation or storage") {
        input.generation_or_storage = true;
        CHECK(unmet(input) == Unmet{"no generation or storage behind the meter: there is some"});
    }
    SECTION("hourly readings, by the NEC never and by the CEC with a factor") {
        input.total = readings(365, Seconds{3600}, 4800);
        CHECK(unmet(input) == Unmet{"means of 15 min or less; an hour's mean hides its peak: 60 min"});
        input.code = Code::cec;
        CHECK(unmet(input) == Unmet{"means of 15 min or less, or of an hour with the authority's correction "
                                    "factor: 60 min, no factor stated"});
        input.hourly_correction = 1.5;
        CHECK(unmet(input).empty());
        CHECK(measured_demand(input, now_of(input)).demand.count() == Approx(4800 * 1.5 / 240));
    }
    SECTION("cars held back, their energy not metered") {
        input.cars = CarsInData::held_back;
        CHECK(unmet(input) ==
              Unmet{"no load held back or shifted while recording: cars were held back or "
                    "shifted; their energy was not metered interval by interval, as part of the house's"});
    }
    SECTION("cars held back, their energy taken out: calculated, not measured") {
        input.cars = CarsInData::held_back;
        input.cars_metered = readings(365, Seconds{900}, 700);
        const MeasuredDemand found = measured_demand(input, now_of(input));
        CHECK(found.usable());
        CHECK(found.calculated);
        CHECK(found.demand.count() == Approx(500 * 4 / 240.0));
        input.cars_metered.pop_back();  // one reading without its counterpart: nothing is taken out
        CHECK_FALSE(measured_demand(input, now_of(input)).usable());
    }
    SECTION("too short, and the short form with what it asks for") {
        input.total = readings(29, Seconds{900}, 1200);
        CHECK(unmet(input) == Unmet{"a year of data, or 30 days on the most loaded leg: 29 days"});
        input.total = readings(40, Seconds{900}, 1200);
        CHECK(unmet(input) == Unmet{"recorded on each leg, so that the most loaded one is known: totals only",
                                    "the building occupied meanwhile: not stated",
                                    "heating or cooling and other seasonal loads added: not stated"});
        input.legs = {readings(40, Seconds{900}, 900), readings(40, Seconds{900}, 300)};
        input.occupied = true;
        input.seasonal = VoltAmperes(2400);
        CHECK(unmet(input).empty());
        CHECK(measured_demand(input, now_of(input)).demand.count() ==
              Approx(900 * 4 / 120.0 + 10));  // the more loaded leg
    }
    SECTION("a hundredth missing is too much") {
        input.total.erase(input.total.begin() + 100, input.total.begin() + 100 + 351);
        CHECK(unmet(input) ==
              Unmet{"measured readings for 99 % of that time: 98 %, 0 readings estimated or questionable"});
    }
    SECTION("old data, and data of days to come") {
        CHECK_FALSE(measured_demand(input, now_of(input) + Seconds{60 * 86400}).usable());
        CHECK_FALSE(measured_demand(input, now_of(input) - Seconds{10 * 86400}).usable());
    }
    SECTION("a car's meter that counts more than the house's is not believed") {
        input.cars = CarsInData::held_back;
        input.cars_metered = readings(365, Seconds{900}, 1300);
        CHECK_FALSE(measured_demand(input, now_of(input)).usable());
    }
    SECTION("no data at all") {
        input.total.clear();
        CHECK(unmet(input).size() == 4);
    }
}

TEST_CASE("what is left for new equipment is whole amperes of the pilot, never rounded up") {
    MeasuredInput input = year();  // 20 A, × 1.25 = 25 A of 100 A
    CHECK(measured_demand(input, now_of(input)).left().count() == Approx(75));
    CHECK(measured_demand(input, now_of(input)).largest_setting(1) == WholeAmps(75));
    CHECK(measured_demand(input, now_of(input)).largest_setting(1.25) == WholeAmps(60));
    CHECK(measured_demand(input, now_of(input)).largest_setting(1.25, Amps(40)) == WholeAmps(28));
    input.service = Amps(77.9);
    CHECK(measured_demand(input, now_of(input)).largest_setting(1) ==
          WholeAmps(51));  // 52 is not on the pilot
    input.service = Amps(30.9);
    CHECK_FALSE(measured_demand(input, now_of(input)).largest_setting(1));
    input.code = Code::cec;  // four fifths of the service, nothing on top of the measurement
    input.service = Amps(100);
    CHECK(measured_demand(input, now_of(input)).left().count() == Approx(60));
    CHECK(measured_demand(input, now_of(input)).sliding_bound->count() == Approx(2 * 1200 / 0.25));
}
