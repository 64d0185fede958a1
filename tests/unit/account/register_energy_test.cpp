#include "core/account/register_energy.hpp"

#include "support/catch.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using account::Counted;
using account::RegisterReading;
using account::RegisterRules;

namespace {

constexpr RegisterRules k20A{.most = Watts(4800)};

// A reading so many minutes after 23:00.
RegisterReading at(int minutes, std::int64_t watt_hours) {
    return {tests::utc(2026, 10, 20, 23h) + minutes * 1min, WattHours(watt_hours)};
}

}  // namespace

TEST_CASE("a rising register counts what it rose by, between each two readings") {
    const Counted counted = account::count_register({at(0, 52'310), at(15, 53'510), at(30, 54'700)}, k20A);
    REQUIRE(counted.energy == WattHours(2'390));
    REQUIRE(counted.steps.size() == 2);
    REQUIRE(counted.steps[0].energy == WattHours(1'200));
    REQUIRE(counted.steps[1].when == Interval{at(15, 0).at, at(30, 0).at});
    REQUIRE(counted.resets + counted.rollovers + counted.breaks + counted.dropped == 0);
}

TEST_CASE("readings late, out of order and said twice count what they count in order") {
    const Counted counted = account::count_register(
        {at(30, 54'700), at(0, 52'310), at(15, 53'510), at(30, 54'700), at(0, 52'310)}, k20A);
    REQUIRE(counted.energy == WattHours(2'390));
    REQUIRE(counted.steps.size() == 2);
    REQUIRE(counted.dropped == 0);
}

TEST_CASE("of several readings in one second the last the register can have shown counts") {
    REQUIRE(account::count_register({at(0, 100), at(15, 1'300), at(15, 1'302)}, k20A).energy ==
            WattHours(1'202));
}

TEST_CASE("a register that begins again from 0 counts on, and what it lost is bounded") {
    const Counted counted = account::count_register({at(0, 52'310), at(15, 53'510), at(30, 700)}, k20A);
    REQUIRE(counted.energy == WattHours(1'900));
    REQUIRE(counted.resets == 1);
    // 4.8 kW × 1.25 for 16 min are 1,600 Wh, one of resolution, less the 700 it shows.
    REQUIRE(counted.uncounted == WattHours(901));
}

TEST_CASE("a register that runs full counts on where its end is known") {
    RegisterRules rules = k20A;
    rules.rolls_at = WattHours(1'000'000);
    const Counted counted = account::count_register({at(0, 999'500), at(15, 400)}, rules);
    REQUIRE(counted.energy == WattHours(900));
    REQUIRE(counted.rollovers == 1);
    REQUIRE(counted.uncounted == WattHours(0));
    SECTION("far from its end a fall is a reset all the same") {
        REQUIRE(account::count_register({at(0, 500'000), at(15, 400)}, rules).resets == 1);
    }
}

TEST_CASE("a reading that the next ones refute is dropped") {
    SECTION("a meter that says 0 while it starts") {
        const Counted counted = account::count_register({at(0, 52'310), at(1, 0), at(2, 52'400)}, k20A);
        REQUIRE(counted.energy == WattHours(90));
        REQUIRE(counted.dropped == 1);
        REQUIRE(counted.resets == 0);
    }
    SECTION("a value too high for what can flow") {
        const Counted counted = account::count_register({at(0, 52'310), at(1, 520'000), at(2, 52'400)}, k20A);
        REQUIRE(counted.energy == WattHours(90));
        REQUIRE(counted.dropped == 1);
    }
    SECTION("a value high within reason, from which the register falls back") {
        const Counted counted =
            account::count_register({at(0, 52'310), at(10, 52'700), at(11, 52'600)}, k20A);
        REQUIRE(counted.energy == WattHours(290));
        REQUIRE(counted.dropped == 1);
    }
}

TEST_CASE("a leap that nothing explains counts nothing and is told") {
    const Counted counted = account::count_register({at(0, 52'310), at(15, 912'310), at(30, 913'000)}, k20A);
    REQUIRE(counted.energy == WattHours(690));
    REQUIRE(counted.breaks == 1);
    REQUIRE(counted.uncounted == WattHours(1'601));
}

TEST_CASE("a register of whole kilowatt-hours may step by one at any time") {
    const RegisterRules coarse{.most = Watts(4800), .resolution = WattHours(1'000)};
    const Counted counted = account::count_register({at(0, 52'000), at(1, 53'000), at(2, 53'000)}, coarse);
    REQUIRE(counted.energy == WattHours(1'000));
    REQUIRE(counted.dropped == 0);
}

TEST_CASE("what a register steps by is what divides all that it showed, a kilowatt-hour at most") {
    REQUIRE(account::shown_resolution({at(0, 52'310), at(1, 52'400)}) == WattHours(10));
    REQUIRE(account::shown_resolution({at(0, 0), at(1, 50'000)}) == WattHours(1'000));
    REQUIRE(account::shown_resolution({at(0, 52'000), at(1, 52'001)}) == WattHours(1));
    REQUIRE(account::shown_resolution({}) == WattHours(1));
}

TEST_CASE("one reading, or none, counts nothing") {
    REQUIRE(account::count_register({}, k20A).steps.empty());
    REQUIRE(account::count_register({at(0, 52'310)}, k20A).energy == WattHours(0));
}
