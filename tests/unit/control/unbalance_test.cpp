// Cars on single legs of a node that bears only so much between its legs.
#include "support/catch.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::control;
using tests::LimiterBench;

namespace {

// Points on the given legs below a service with an unbalance limit, each with a car that is not offered
// anything yet.
LimiterBench unbalanced(double limit, const std::vector<site::Legs>& points, int standing = 0) {
    const tests::BenchSite of{.points = points.size(), .worst = 40, .standing = standing};
    LimiterSettings settings = tests::bench_settings(of);
    settings.site.nodes[0].unbalance = Amps(limit);
    for (std::size_t p = 0; p < points.size(); ++p) settings.site.points[p].legs = points[p];
    LimiterBench bench(of);
    bench.limiter = Limiter(settings, bench.now.boot, 1);
    for (std::size_t p = 0; p < points.size(); ++p)
        bench.reported(p, {.status = PointStatus::charging,
                           .offer = WholeAmps(standing),
                           .current = tests::both(standing)});
    return bench;
}

const site::Legs kFirst{site::Leg::L1};
const site::Legs kSecond{site::Leg::L2};

}  // namespace

TEST_CASE("unbalance: cars on one leg are offered no more together than the limit, the hasty one first") {
    LimiterBench bench = unbalanced(32, {kFirst, kFirst});
    bench.planned(0, 20, Seconds{7200});
    bench.planned(1, 20, Seconds{600});
    bench.measured(10);
    bench.ask();
    for (int second = 0; second < 200; ++second) {
        bench.run(1, 10);
        CHECK(bench.setpoint(0) + bench.setpoint(1) <= 32);
    }
    CHECK(bench.setpoint(1) == 20);
    CHECK(bench.setpoint(0) == 12);
    CHECK(bench.bind(0) == Bind::unbalance);
    CHECK(bench.last.points[0].reasons.front().node == std::size_t{0});
}

TEST_CASE("unbalance: cars on different legs, or on all, do not take it from each other") {
    LimiterBench bench = unbalanced(20, {kFirst, kSecond, tests::kBothLegs});
    for (std::size_t p = 0; p < 3; ++p) bench.planned(p, 24);
    bench.measured(10);
    bench.ask();
    bench.run(200, 10);
    CHECK(bench.setpoint(0) == 20);
    CHECK(bench.setpoint(1) == 20);
    CHECK(bench.setpoint(2) == 24);
    CHECK(bench.bind(0) == Bind::unbalance);
    CHECK(bench.bind(2) == Bind::plan);
}

TEST_CASE("unbalance: a car goes up only when the fall of the other on its leg is measured") {
    LimiterBench bench = unbalanced(32, {kFirst, kFirst});
    bench.planned(0, 20, Seconds{600});
    bench.planned(1, 20, Seconds{7200});
    bench.measured(10);
    bench.ask();
    bench.run(200, 10);
    REQUIRE(bench.setpoint(1) == 12);
    bench.planned(0, 8, Seconds{600});
    bench.wait(1);
    bench.measured(42);
    bench.ask();
    CHECK(bench.setpoint(0) == 8);
    CHECK(bench.setpoint(1) == 12);
    bench.run(200, 10);
    CHECK(bench.setpoint(1) == 20);
}

TEST_CASE("unbalance: a point without a car counts with its standing current") {
    LimiterBench bench = unbalanced(20, {kFirst, kFirst}, 6);
    bench.reported(1, {.status = PointStatus::empty, .offer = WholeAmps(6), .current = tests::both(0)});
    bench.planned(0, 20);
    bench.measured(10);
    bench.ask();
    for (int second = 0; second < 200; ++second) {
        bench.wait(1);
        bench.measured(10.0 + bench.setpoint(0));
        bench.charging(0, bench.setpoint(0));
        bench.ask();
    }
    CHECK(bench.setpoint(0) == 14);
    CHECK(bench.bind(0) == Bind::unbalance);
}

TEST_CASE("unbalance: a limit that comes with new settings lowers what is offered at once") {
    LimiterBench bench = unbalanced(40, {kFirst, kFirst});
    bench.planned(0, 20, Seconds{600});
    bench.planned(1, 20, Seconds{7200});
    bench.measured(10);
    bench.ask();
    bench.run(200, 10);
    REQUIRE(bench.setpoint(0) + bench.setpoint(1) == 40);
    LimiterSettings settings = tests::bench_settings({.points = 2, .worst = 40});
    settings.site.nodes[0].unbalance = Amps(30);
    for (auto& point : settings.site.points) point.legs = kFirst;
    REQUIRE(bench.limiter.change(settings));
    bench.run(1, 10);
    CHECK(bench.setpoint(0) == 20);
    CHECK(bench.setpoint(1) == 10);
}
