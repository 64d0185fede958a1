// What the whole limiter does when a meter, a link, equipment or the daemon itself fails, for one point.
#include <limits>
#include <utility>

#include "core/control/limiter.hpp"
#include "support/catch.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::control;
using namespace std::chrono_literals;
using tests::BenchSite;
using tests::LimiterBench;

namespace {

LimiterBench charging(const BenchSite& of = {}) {
    LimiterBench bench = tests::charging_at_40(of);
    REQUIRE(bench.setpoint() == 40);
    return bench;
}

}  // namespace

TEST_CASE("a silent meter: at once limit less worst load, after two minutes standing") {
    LimiterBench bench = charging({.standing = 6});
    const BootTime last = bench.now.boot;
    bench.wait(15);
    bench.ask();
    CHECK(bench.setpoint() == 40);
    CHECK(bench.last.look_again == last + 15s + 1ms);
    bench.wait(0.001);
    bench.ask();
    CHECK(bench.setpoint() == 30);
    CHECK(bench.bind() == Bind::stale);
    bench.wait(60);
    bench.ask();
    bench.wait(60);
    bench.ask();
    CHECK(bench.setpoint() == 6);
    CHECK(bench.bind() == Bind::stale_for_long);
    SECTION("and up again only after a calm time of fresh samples") {
        bench.run(59, 20);
        CHECK(bench.setpoint() == 6);
        bench.run(2, 20);
        CHECK(bench.setpoint() == 40);
    }
}

TEST_CASE("a stall of the loop makes all samples stale") {
    LimiterBench bench = charging();
    bench.ask();
    const auto late = bench.last.look_again - bench.now.boot + 2001ms;
    bench.wait(static_cast<double>(late.count()) / 1000);
    bench.measured(60);  // was waiting in the socket all the while
    bench.ask();
    CHECK(bench.bind() == Bind::stale);
    LimiterBench told = charging();
    told.limiter.stalled(told.now.boot);
    told.ask();
    CHECK(told.bind() == Bind::stale);
}

TEST_CASE("a write nobody answers is sent again after five seconds, a refused one likewise") {
    LimiterBench bench = charging();
    bench.answers = false;
    bench.planned(0, 20);
    bench.ask();
    REQUIRE(bench.last.points[0].write);
    SECTION("unanswered") {
        bench.wait(4.9);
        bench.ask();
        CHECK_FALSE(bench.last.points[0].write);
        bench.wait(0.1);
        bench.ask();
        REQUIRE(bench.last.points[0].write);
        CHECK(bench.last.points[0].write->periods.front().amps == WholeAmps(20));
    }
    SECTION("refused") {
        bench.limiter.refused(0, bench.last.points[0].write->number, bench.now.boot);
        bench.ask();
        CHECK_FALSE(bench.last.points[0].write);
        bench.wait(5);
        bench.ask();
        CHECK(bench.last.points[0].write);
    }
    SECTION("refused, and then less is needed: at once") {
        bench.limiter.refused(0, bench.last.points[0].write->number, bench.now.boot);
        bench.planned(0, 10);
        bench.ask();
        REQUIRE(bench.last.points[0].write);
        CHECK(bench.last.points[0].write->periods.front().amps == WholeAmps(10));
    }
}

TEST_CASE("an interruption that the meter itself tells makes equipment that started again wait") {
    LimiterBench bench = charging();
    bench.limiter.supply_interrupted(bench.now.boot);
    bench.limiter.rebooted(0, bench.now.boot);
    bench.ask();
    CHECK(bench.bind() == Bind::interruption);
}

TEST_CASE("new settings are taken with what was heard, and refused where the tree is another") {
    LimiterBench bench = charging();
    LimiterSettings changed = tests::bench_settings({});
    changed.site.points[0].hard_setting = WholeAmps(24);
    REQUIRE(bench.limiter.change(changed));
    bench.run(1, 20);
    CHECK(bench.setpoint() == 24);
    CHECK(bench.bind() == Bind::installer_setting);
    CHECK_FALSE(bench.limiter.change(tests::bench_settings({.points = 2})));
    CHECK_FALSE(bench.limiter.change(tests::bench_settings({.interval = Seconds{10}})));
}

TEST_CASE("points that have changed places or names are other points, and so are nodes") {
    const auto settings = [] { return tests::bench_settings({.points = 2}); };
    Limiter limiter(settings(), BootTime{}, 1);
    LimiterSettings points = settings();
    std::swap(points.site.points[0].name, points.site.points[1].name);
    CHECK_FALSE(limiter.change(points));
    LimiterSettings nodes = settings();
    nodes.site.nodes.back().name = "barn circuit";
    CHECK_FALSE(limiter.change(nodes));
    CHECK(limiter.change(settings()));
}

TEST_CASE("a sample with a value that is no number is none, and its meter falls silent") {
    const double none = std::numeric_limits<double>::quiet_NaN();
    const bool generated = GENERATE(false, true);
    const double amps = generated ? 95 : none;
    const double generation = generated ? none : 0;
    LimiterBench bench = charging();
    for (int second = 0; second < 16; ++second) {
        bench.wait(1);
        bench.limiter.meter(
            {.arrived = bench.now.boot, .amps = tests::both(amps), .generation = tests::both(generation)});
        bench.ask();
    }
    CHECK(bench.setpoint() == 30);
    CHECK(bench.bind() == Bind::stale);
}

TEST_CASE("equipment that started again, or whose link came back, is told its offer anew") {
    LimiterBench bench = charging();
    bench.ask();
    REQUIRE_FALSE(bench.last.points[0].write);
    SECTION("reboot") { bench.limiter.rebooted(0, bench.now.boot); }
    SECTION("link") {
        bench.limiter.link(0, false);
        bench.ask();
        CHECK_FALSE(bench.last.points[0].write);
        CHECK(bench.bind() == Bind::link_lost);
        bench.limiter.link(0, true);
    }
    bench.ask();
    REQUIRE(bench.last.points[0].write);
    CHECK(bench.setpoint() == 40);
}

TEST_CASE("after an interruption of the supply a point waits 10 to 20 min, after a mere reboot it does not") {
    LimiterBench bench = charging();
    bench.wait(90);
    bench.limiter.rebooted(0, bench.now.boot);
    bench.ask();
    CHECK(bench.bind() == Bind::interruption);
    CHECK(bench.setpoint() == 0);
    const auto until = bench.last.points[0].reasons.front().until;
    REQUIRE(until);
    CHECK(*until >= bench.now.boot + 10min);
    CHECK(*until <= bench.now.boot + 20min);
    bench.run(1300, 20);
    CHECK(bench.setpoint() == 40);

    LimiterBench rebooted = charging();
    rebooted.limiter.rebooted(0, rebooted.now.boot);
    rebooted.run(1, 20);
    CHECK_FALSE(rebooted.binds(Bind::interruption));
    rebooted.run(150, 20);
    CHECK(rebooted.setpoint() == 40);
}

TEST_CASE("a limiter built anew takes over what the equipment reports and makes a lease of it at once") {
    LimiterBench bench;
    bench.ask();
    CHECK(bench.bind() == Bind::unheard);
    bench.wait(1);
    bench.reported(0, {.status = PointStatus::charging, .offer = WholeAmps(32), .current = tests::both(32)});
    bench.measured(52);
    bench.ask();
    CHECK(bench.setpoint() == 32);
    REQUIRE(bench.last.points[0].write);
    CHECK(bench.last.points[0].write->periods.front() == Period{WholeAmps(32), 15min});
    CHECK(bench.bind() == Bind::no_plan_yet);
}

TEST_CASE("equipment that reports nothing is brought to standing") {
    LimiterBench bench({.standing = 6});
    bench.limiter.link(0, true);
    for (int second = 0; second < 15; ++second) {
        bench.measured(30);
        bench.ask();
        CHECK_FALSE(bench.last.points[0].write);
        bench.wait(1);
    }
    bench.measured(30);
    bench.ask();
    CHECK(bench.setpoint() == 6);
}
