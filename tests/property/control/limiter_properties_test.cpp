// Properties of the live control in random households with random faults (seeds fixed, printed on failure).
#include <algorithm>
#include <rapidcheck.h>
#include <string>

#include "core/rehearse/world.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::rehearse;
using namespace std::chrono_literals;

namespace {

constexpr Seconds kLength = 3h;
constexpr double kWorst = 62;

int any(int least, int most) { return *rc::gen::inRange(least, most + 1); }

// A house that steps up and down, never above its worst load of 62 A: 10 A always, and up to three loads.
std::vector<LoadRun> any_house() {
    std::vector<LoadRun> runs{{0s, kLength, tests::both(10)}};
    int left = static_cast<int>(kWorst) - 10;
    for (int load = 0; load < 3; ++load) {
        const int amps = std::min(left, any(4, 30));
        left -= amps;
        const Seconds begin{any(0, 9000)};
        runs.push_back({begin, begin + Seconds(any(30, 6000)), tests::both(amps), Seconds(any(20, 900)),
                        Seconds(any(0, 900))});
    }
    return runs;
}

WorldSetup any_world() {
    const auto points = static_cast<std::size_t>(any(1, 3));
    const int standing = points == 1 ? any(0, 1) * 6 : 0;
    WorldSetup world;
    world.settings = tests::bench_settings({.points = points,
                                            .worst = kWorst,
                                            .standing = standing,
                                            .interval = Seconds(*rc::gen::element(1, 2, 5, 10)),
                                            .feeder = any(0, 1) * 60.0});
    world.settings.zone = tests::halifax();
    world.starts = tests::utc(2026, 1, 15, 22h);
    world.loads = {any_house()};
    world.seed = static_cast<std::uint64_t>(any(0, 100'000));
    for (std::size_t p = 0; p < points; ++p) {
        PointSetup point;
        point.equipment = {.legs = tests::kBothLegs,
                           .watts_per_ampere = Watts(240),
                           .hard_setting = WholeAmps(40),
                           .standing = WholeAmps(standing),
                           .reports_every = Seconds(*rc::gen::element(1, 10, 60, 300))};
        point.car = {.most = WholeAmps(any(6, 48)), .response = Seconds(any(1, 10))};
        if (any(0, 3) == 0) {
            point.car.sleeps = Seconds(any(0, 5000));
            point.car.wakes = *point.car.sleeps + Seconds(any(10, 3000));
        }
        point.plan.pieces = {{{world.starts, world.starts + Seconds(any(600, 9000))}, WholeAmps(any(6, 40))}};
        point.plan.slack = Seconds(any(0, 30'000));
        world.points.push_back(point);
    }
    return world;
}

Seconds slowest(const WorldSetup& world) {
    Seconds most{0};
    for (const PointSetup& point : world.points) most = std::max(most, point.car.response);
    return most;
}

// Of every node and leg. An episode may be prolonged by the house rising again, and each rise gets its time.
Seconds longest_since_rise(const World& world, const site::Site& site, bool at_rating) {
    Seconds most{0};
    for (std::size_t n = 0; n < site.nodes.size(); ++n) {
        for (const site::Leg leg : {site::Leg::L1, site::Leg::L2}) {
            const Excess& measure = at_rating ? world.at_rating(n, leg) : world.at_limit(n, leg);
            for (const Episode& episode : measure.episodes())
                most = std::max(most, episode.end - std::max(episode.begin, episode.last_rise));
        }
    }
    return most;
}

std::string told(const World& world, const site::Site& site) {
    std::string text;
    for (std::size_t n = 0; n < site.nodes.size(); ++n) {
        for (const Episode& e : world.at_limit(n, site::Leg::L1).episodes()) {
            text += site.nodes[n].name + " from " + std::to_string(e.begin.count()) + " to " +
                    std::to_string(e.end.count()) + ", last rise " + std::to_string(e.last_rise.count()) +
                    ", " + std::to_string(e.greatest.count()) + " A\n";
        }
    }
    return text;
}

}  // namespace

TEST_CASE("in any house cars leave every limit within the bound of design section 7 after its last rise") {
    REQUIRE(rc::check([] {
        const WorldSetup setup = any_world();
        World world(setup);
        while (world.now() < kLength) world.step();
        const auto interval = std::chrono::ceil<Seconds>(*setup.settings.interval[0]);
        // A rise inside the span of our own reduction shows when that span is over: a response and the
        // meter's lag.
        const Seconds bound =
            time_bound(BoundCase::all_alive, {.meter_interval = interval, .response = slowest(setup)});
        const Seconds span = std::max(5s, slowest(setup)) + 1s;
        RC_LOG() << told(world, setup.settings.site);
        RC_ASSERT(longest_since_rise(world, setup.settings.site, false) <= bound + span);
        RC_ASSERT(longest_since_rise(world, setup.settings.site, true) <= bound + span);
    }));
}

TEST_CASE(
    "with any faults no rating is passed for longer than the limits' bounds, and no offer is one it may not "
    "be") {
    REQUIRE(rc::check([] {
        WorldSetup setup = any_world();
        const int faults = any(1, 3);
        for (int fault = 0; fault < faults; ++fault) {
            const auto kind =
                *rc::gen::element(FaultKind::meter_silent, FaultKind::link_cut, FaultKind::daemon_dead,
                                  FaultKind::suspended, FaultKind::equipment_restarts);
            const Seconds from{any(100, 9000)};
            const auto point =
                kind == FaultKind::link_cut || kind == FaultKind::equipment_restarts
                    ? static_cast<std::size_t>(any(0, static_cast<int>(setup.points.size()) - 1))
                    : std::size_t{0};
            setup.faults.push_back({kind, from, from + Seconds(any(1, 3000)), point, {}});
        }
        World world(setup);
        while (world.now() < kLength) {
            world.step();
            for (std::size_t p = 0; p < setup.points.size(); ++p) {
                const WholeAmps offer = world.equipment(p).offer();
                RC_ASSERT(offer == WholeAmps(0) || (offer >= WholeAmps(6) && offer <= WholeAmps(40)));
                RC_ASSERT(offer != kNotOnThePilot);
                RC_ASSERT(world.equipment(p).current() <= Amps(48));
                // A plan is never passed, standing apart.
                const auto& piece = setup.points[p].plan.pieces[0];
                RC_ASSERT(offer <= std::max(piece.amps, setup.points[p].equipment.standing));
            }
        }
        const auto interval = std::chrono::ceil<Seconds>(*setup.settings.interval[0]);
        const Seconds alive =
            time_bound(BoundCase::all_alive, {.meter_interval = interval, .response = slowest(setup)});
        RC_LOG() << told(world, setup.settings.site);
        RC_ASSERT(longest_since_rise(world, setup.settings.site, true) <= alive);
        const Seconds lease = time_bound(
            BoundCase::on_its_lease, {.response = slowest(setup), .lease_left = setup.settings.site.lease});
        RC_ASSERT(longest_since_rise(world, setup.settings.site, false) <= std::max(lease, alive));
    }));
}

TEST_CASE("nothing is raised while the meter is silent") {
    REQUIRE(rc::check([] {
        WorldSetup setup = any_world();
        const Seconds from{any(100, 9000)};
        setup.faults.push_back({FaultKind::meter_silent, from, kLength, 0, {}});
        const Seconds stale_after =
            std::max(15s, 3 * std::chrono::ceil<Seconds>(*setup.settings.interval[0]));
        World world(setup);
        std::vector<WholeAmps> last(setup.points.size(), WholeAmps(100));
        while (world.now() < kLength) {
            world.step();
            if (world.now() <= from + stale_after) continue;
            for (std::size_t p = 0; p < last.size(); ++p) {
                // A wait or a pause may run out into standing, which is no raise of ours.
                const WholeAmps offer = world.equipment(p).offer();
                RC_ASSERT(offer <= std::max(last[p], setup.points[p].equipment.standing));
                last[p] = offer;
            }
        }
    }));
}
