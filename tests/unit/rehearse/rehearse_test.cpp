// The simulated things themselves, and the measure that judges with them.
#include <algorithm>

#include "core/rehearse/equipment.hpp"
#include "core/rehearse/excess.hpp"
#include "core/rehearse/house.hpp"
#include "support/catch.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::rehearse;
using namespace std::chrono_literals;
using site::Leg;
using tests::both;

namespace {

EquipmentTraits wall_box() {
    return {.legs = tests::kBothLegs,
            .watts_per_ampere = Watts(240),
            .hard_setting = WholeAmps(40),
            .standing = WholeAmps(6)};
}

control::Write lease(int amps, Milliseconds length) {
    return {.number = 1, .periods = {{WholeAmps(amps), length}, {WholeAmps(6), std::nullopt}}};
}

}  // namespace

TEST_CASE("random numbers are the same everywhere") {
    Random random(42);
    CHECK(random.next() == 13679457532755275413U);
    CHECK(random.next() == 2949826092126892291U);
    int least = 100;
    int most = 0;
    for (int draw = 0; draw < 1000; ++draw) {
        const int number = random.between(3, 7);
        least = std::min(least, number);
        most = std::max(most, number);
    }
    CHECK(least == 3);
    CHECK(most == 7);
}

TEST_CASE("excess is what the cars add above the bound, never what the house does alone") {
    CHECK(excess(Amps(20), Amps(70), Amps(80)) == Amps(0));
    CHECK(excess(Amps(20), Amps(85), Amps(80)) == Amps(5));
    CHECK(excess(Amps(20), Amps(130), Amps(80)) == Amps(20));
    CHECK(excess(Amps(0), Amps(130), Amps(80)) == Amps(0));
}

TEST_CASE("an episode counts above half an ampere, joined over gaps below ten seconds") {
    const auto seconds = [](std::vector<int> loaded) {
        Excess measure(Amps(80));
        for (int at = 0; at < 100; ++at) {
            const bool over = std::ranges::find(loaded, at) != loaded.end();
            measure.second(Seconds(at), Amps(20), Amps(over ? 81 : 80.5), false);
        }
        return measure.episodes();
    };
    CHECK(seconds({}).empty());
    REQUIRE(seconds({10, 11, 12}).size() == 1);
    CHECK(seconds({10, 11, 12})[0].length() == 3s);
    REQUIRE(seconds({10, 20}).size() == 1);  // nine seconds between
    CHECK(seconds({10, 20})[0].length() == 11s);
    CHECK(seconds({10, 21}).size() == 2);  // ten
}

TEST_CASE("time bounds of design section 7") {
    CHECK(time_bound(BoundCase::all_alive, {.meter_interval = 1s, .response = 5s}) == 10s);
    CHECK(time_bound(BoundCase::all_alive, {.meter_interval = 10s, .response = 5s}) == 19s);
    CHECK(time_bound(BoundCase::meter_silent, {.response = 5s, .staleness = 15s}) == 21s);
    CHECK(time_bound(BoundCase::on_its_lease, {.response = 5s, .lease_left = 900s}) == 905s);
}

TEST_CASE("a thermostat switches a load, with more in the first second") {
    const std::vector<LoadRun> runs{{100s, 1000s, both(20), 40s, 60s, both(10)}};
    CHECK(on(draw(runs, 99s), Leg::L1) == Amps(0));
    CHECK(on(draw(runs, 100s), Leg::L1) == Amps(30));
    CHECK(on(draw(runs, 101s), Leg::L2) == Amps(20));
    CHECK(on(draw(runs, 140s), Leg::L1) == Amps(0));
    CHECK(on(draw(runs, 200s), Leg::L1) == Amps(30));
    CHECK(on(draw(runs, 1000s), Leg::L1) == Amps(0));
}

TEST_CASE(
    "the simulated household's year passes 70 A of a 100 A service on a leg, and never 100 A for long") {
    for (const std::uint64_t seed : {1U, 2U, 3U}) {
        Random random(seed);
        Amps greatest;
        int seconds_above_rating = 0;
        std::vector<LoadRun> runs;
        for (int day = 0; day < 365; ++day) {
            const Seconds midnight = std::chrono::hours{24 * day};
            std::erase_if(runs, [&](const LoadRun& run) { return run.end <= midnight; });
            const auto more = household_day(random, midnight, day);
            runs.insert(runs.end(), more.begin(), more.end());
            for (Seconds at = midnight; at < midnight + 24h; at += 10s) {
                const site::LegAmps drawn = draw(runs, at);
                greatest = std::max({greatest, drawn[0], drawn[1]});
                if (std::max(drawn[0], drawn[1]) > Amps(100)) seconds_above_rating += 10;
            }
        }
        CAPTURE(seed, greatest.count());
        CHECK(greatest >= Amps(70));
        CHECK(seconds_above_rating < 60);
    }
}

TEST_CASE("the same seed gives the same household") {
    Random one(7);
    Random other(7);
    const auto first = household_day(one, 0s, 10);
    const auto second = household_day(other, 0s, 10);
    REQUIRE(first.size() == second.size());
    for (Seconds at = 0s; at < 24h; at += 7s) REQUIRE(draw(first, at) == draw(second, at));
}

TEST_CASE("a car follows after its response, takes no more than it can, sleeps and fills") {
    Car car({.most = WholeAmps(32), .response = 3s, .sleeps = 50s, .wakes = 60s});
    CHECK(car.step(0s, WholeAmps(6)) == Amps(6));
    for (int at = 1; at <= 3; ++at) CHECK(car.step(Seconds(at), WholeAmps(40)) == Amps(6));
    CHECK(car.step(4s, WholeAmps(40)) == Amps(32));
    CHECK(car.step(50s, WholeAmps(40)) == Amps(0));
    CHECK(car.step(60s, WholeAmps(40)) == Amps(32));
    Car small({.most = WholeAmps(32), .response = 0s, .room = WattHours(1000)});
    small.took(MilliwattHours(975'000));
    CHECK(small.step(0s, WholeAmps(32)) == Amps(16));  // half way down its taper
    small.took(MilliwattHours(25'000));
    CHECK(small.full());
    CHECK(small.step(1s, WholeAmps(32)) == Amps(0));
}

TEST_CASE("equipment falls to standing when its lease ends and counts what flows to the watt-hour") {
    Equipment equipment(wall_box(), {.response = 0s});
    REQUIRE(equipment.write(lease(30, 900s), 0s));
    for (int at = 1; at <= 3600; ++at) {
        equipment.step(Seconds(at));
        CHECK(equipment.offer() == WholeAmps(at < 900 ? 30 : 6));
    }
    // 899 s of 30 A and 2,701 s of 6 A at 240 V
    CHECK(equipment.energy_register() == WattHours(2878));
}

TEST_CASE("equipment that starts again forgets its profile and is silent meanwhile") {
    Equipment equipment(wall_box(), {.response = 0s});
    REQUIRE(equipment.write(lease(30, 900s), 0s));
    equipment.restart(100s);
    equipment.step(110s);
    CHECK(equipment.current() == Amps(0));
    CHECK_FALSE(equipment.write(lease(30, 900s), 110s));
    CHECK_FALSE(equipment.report(110s, tests::boot(110), true));
    equipment.step(120s);
    CHECK(equipment.offer() == WholeAmps(6));
    const auto report = equipment.report(120s, tests::boot(120), true);
    REQUIRE(report);
    CHECK(report->offer == WholeAmps(6));
    CHECK(report->status == control::PointStatus::charging);
}

TEST_CASE("equipment reports when due, and a change of status at once") {
    Equipment equipment(wall_box(), {.response = 0s, .sleeps = 103s});
    int reports = 0;
    for (int at = 100; at < 160; ++at) {
        equipment.step(Seconds(at));
        const auto report = equipment.report(Seconds(at), tests::boot(at), false);
        if (!report) continue;
        ++reports;
        if (at == 103) CHECK(report->status == control::PointStatus::suspended_by_car);
        CHECK(report->current.has_value() == (at % 10 == 0));
    }
    CHECK(reports == 7);
}
