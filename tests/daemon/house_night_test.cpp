// The night of a whole house as the daemon asks for it.
#include "daemon/keeper/house_night.hpp"

#include <algorithm>

#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;
using tests::utc;

namespace {

// Both cars of Harbour Row 9 at six in the evening, on a feeder of 50 A that bears 40 A.
HouseAsked at_six() {
    const Instant six = utc(2026, 10, 20, 21h);
    auto read = io::load_household(tests::config("harbour-row-9/site.yaml"), six);
    REQUIRE(read.ok());
    HouseAsked asked{
        .household = std::make_shared<const io::Household>(std::move(read).value()), .now = six, .cars = {}};
    for (const char* name : {"Heron", "Plover"}) {
        CarAsked car;
        car.options.car = name;
        car.options.ready_by = "07:00";
        asked.cars.push_back(std::move(car));
    }
    return asked;
}

std::vector<Interval> charging(const tools::CarNight& car) {
    std::vector<Interval> when;
    for (std::size_t slot = 0; slot < car.month.plan.slots.size(); ++slot) {
        if (car.month.plan.slots[slot].amps > WholeAmps(0))
            when.push_back(car.question.problem.slots[slot].when);
    }
    return when;
}

WholeAmps amps_of(const tools::CarNight& car, Instant at) {
    for (std::size_t slot = 0; slot < car.month.plan.slots.size(); ++slot) {
        if (car.question.problem.slots[slot].when.contains(at)) return car.month.plan.slots[slot].amps;
    }
    return WholeAmps(0);
}

}  // namespace

TEST_CASE("cars on their cables are planned together: they share the feeder, and no money is left on it") {
    const HouseNight found = plan_house(at_six(), {});
    REQUIRE(found.night.cars.size() == 2);
    REQUIRE(found.night.joint);
    CHECK(found.night.joint->cost_proven());
    for (const tools::CarNight& car : found.night.cars) {
        CHECK(car.together);
        for (const Interval& slot : charging(car))
            CHECK(amps_of(found.night.cars[0], slot.begin) + amps_of(found.night.cars[1], slot.begin) <=
                  WholeAmps(40));
    }
}

TEST_CASE("a car that is away takes no room from one that is there, and is planned on what that leaves") {
    HouseAsked asked = at_six();
    const HouseNight both = plan_house(asked, {});
    asked.cars[0].here = false;
    const HouseNight away = plan_house(asked, {});
    CHECK_FALSE(away.night.joint);
    asked.cars.erase(asked.cars.begin());
    const HouseNight alone = plan_house(asked, {});
    CHECK(away.night.cars[1].month.plan.slots == alone.night.cars[0].month.plan.slots);
    REQUIRE_FALSE(away.night.notes.empty());
    CHECK(away.night.notes.front() ==
          "Heron is not on a cable now: it is planned on what those that are leave.");
    for (const Interval& slot : charging(away.night.cars[0]))
        CHECK(amps_of(away.night.cars[0], slot.begin) + amps_of(away.night.cars[1], slot.begin) <=
              WholeAmps(40));
    CHECK(away.night.cars[0].month.plan.objective.short_by >=
          both.night.cars[0].month.plan.objective.short_by);
}

TEST_CASE("what is under way until the next slot counts as taken") {
    HouseAsked asked = at_six();
    asked.now += 2min;
    asked.from = From::next_slot;
    asked.cars[1].options.need = "10";
    const HouseNight idle = plan_house(asked, {});
    asked.cars[1].under_way.pieces = {{{asked.now - 1h, asked.now + 1h}, WholeAmps(16)}};
    const HouseNight charges = plan_house(asked, {});
    const auto need = [](const HouseNight& house) { return house.night.cars[1].question.request.need; };
    CHECK(need(idle) == MilliwattHours(10'000'000));
    CHECK(need(charges) == MilliwattHours(10'000'000 - 192'000));  // 16 A at 240 V for three minutes
    CHECK(charges.night.cars[1].question.present.begin == asked.now + 3min);
}

TEST_CASE("a car whose question has a fault keeps no other from its night") {
    HouseAsked asked = at_six();
    asked.cars[0].options.need = "much";
    const HouseNight found = plan_house(asked, {});
    REQUIRE(found.faults.size() == 2);
    CHECK_FALSE(found.faults[0].empty());
    CHECK(found.faults[1].empty());
    REQUIRE(found.night.cars.size() == 1);
    CHECK(found.night.cars[0].question.settings().car.name == "Plover");
}
