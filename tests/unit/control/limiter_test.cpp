// The law of design §7 through the whole limiter, for one point.
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

TEST_CASE("a current is raised only after the house was watched for the calm time") {
    LimiterBench bench;
    bench.reported(0, {.status = PointStatus::charging, .offer = WholeAmps(0), .current = tests::both(0)});
    bench.planned(0, 40);
    bench.measured(20);
    bench.ask();
    bench.run(59, 20);
    CHECK(bench.setpoint() == 0);
    CHECK(bench.bind() == Bind::calm_time);
    bench.run(1, 20);
    CHECK(bench.setpoint() == 40);
    CHECK(bench.binds(Bind::plan));
    CHECK(bench.binds(Bind::installer_setting));
    CHECK(bench.writes == 1);
}

TEST_CASE("above the limit a current comes down with the second sample, above the rating with the first") {
    LimiterBench bench = charging();
    SECTION("limit") {
        bench.run(1, 45);
        CHECK(bench.setpoint() == 40);
        bench.run(1, 45);
        CHECK(bench.setpoint() == 35);
        CHECK(bench.bind() == Bind::limit);
        CHECK(bench.last.points[0].reasons.front().node == 0U);
        CHECK(bench.last.points[0].write->reduces);
    }
    SECTION("rating") {
        bench.run(1, 61);
        CHECK(bench.setpoint() == 19);
        CHECK(bench.bind() == Bind::rating);
    }
    SECTION("a motor that starts: stopped at once, and on again after the calm time, twice as long") {
        bench.run(1, 90);
        CHECK(bench.setpoint() == 0);
        CHECK(bench.bind() == Bind::below_minimum);
        bench.run(119, 40);
        CHECK(bench.setpoint() == 0);
        CHECK(bench.bind() == Bind::calm_time);
        bench.run(2, 40);
        CHECK(bench.setpoint() == 40);
    }
    SECTION("but what stays is a pause of five minutes") {
        bench.run(8, 90);
        CHECK(bench.setpoint() == 0);
        bench.run(299, 40);
        CHECK(bench.setpoint() == 0);
        CHECK(bench.bind() == Bind::resume_wait);
        bench.run(2, 40);
        CHECK(bench.setpoint() == 40);
    }
}

TEST_CASE(
    "a motor that starts in one sample of a slow meter is no pause either, though nothing refutes it for 10 "
    "s") {
    LimiterBench bench = tests::charging_at_40({.interval = Seconds{10}});
    REQUIRE(bench.setpoint() == 40);
    const auto sample = [&](double house) {
        bench.measured(house + bench.setpoint());
        bench.charging(0, bench.setpoint());
        bench.ask();
        for (int second = 0; second < 10; ++second) {
            bench.wait(1);
            bench.ask();
        }
    };
    sample(90);
    CHECK(bench.setpoint() == 0);
    for (int ten = 0; ten < 14; ++ten) sample(20);
    CHECK(bench.setpoint() == 40);
}

TEST_CASE("the span after our own reduction is not taken for house") {
    LimiterBench bench = charging();
    bench.run(2, 45);
    REQUIRE(bench.setpoint() == 35);
    // The car still draws 40 A for some seconds.
    for (int second = 0; second < 4; ++second) {
        bench.wait(1);
        bench.measured(85);
        bench.ask();
        CHECK(bench.setpoint() == 35);
    }
}

TEST_CASE(
    "below the minimum the car is paused, and resumed after five minutes above minimum and one ampere") {
    LimiterBench bench = charging();
    bench.run(2, 75);
    CHECK(bench.setpoint() == 0);
    bench.run(6, 75);  // by now the car has surely followed, and what is left is the house
    CHECK(bench.bind() == Bind::below_minimum);
    SECTION("resumed") {
        bench.run(299, 70);
        CHECK(bench.setpoint() == 0);
        CHECK(bench.bind() == Bind::resume_wait);
        bench.run(2, 70);
        CHECK(bench.setpoint() == 10);
    }
    SECTION("not at the minimum itself") {
        bench.run(600, 74);
        CHECK(bench.setpoint() == 0);
        CHECK(bench.bind() == Bind::below_minimum);
    }
}

TEST_CASE("a retreat soon after a raise makes the next raise wait twice as long") {
    LimiterBench bench = charging();
    bench.run(2, 50);
    REQUIRE(bench.setpoint() == 30);
    bench.run(119, 20);
    CHECK(bench.setpoint() == 30);
    CHECK(bench.bind() == Bind::calm_time);
    bench.run(2, 20);
    CHECK(bench.setpoint() == 40);
}

TEST_CASE("a lease is as long as its consequence allows, and lowered until it fits every rating") {
    SECTION("40 A beside a worst load of 50 A pass 80 A but not 100: 15 min") {
        LimiterBench bench = charging();
        CHECK(*bench.last.points[0].lease_ends - bench.now.boot == 15min - 140s);
    }
    SECTION("beside 40 A they stay within 80: an hour") {
        LimiterBench bench = charging({.worst = 40});
        CHECK(*bench.last.points[0].lease_ends - bench.now.boot == 60min - 140s);
    }
    SECTION("beside 70 A only 30 fit") {
        LimiterBench bench({.worst = 70, .standing = 6});
        bench.reported(0,
                       {.status = PointStatus::charging, .offer = WholeAmps(6), .current = tests::both(6)});
        bench.planned(0, 40);
        bench.ask();
        bench.run(90, 20);
        CHECK(bench.setpoint() == 30);
        CHECK(bench.bind() == Bind::lease_cap);
        CHECK(bench.last.points[0].fallback == WholeAmps(6));
    }
    SECTION("beside 98 A nothing fits, and standing stays") {
        LimiterBench bench({.worst = 98, .standing = 6});
        bench.reported(0,
                       {.status = PointStatus::charging, .offer = WholeAmps(20), .current = tests::both(20)});
        bench.planned(0, 40);
        bench.run(3, 20);
        CHECK(bench.setpoint() == 6);
        CHECK_FALSE(bench.last.points[0].lease_ends);
    }
}

TEST_CASE("a lease runs by the hours it covers, and by every hour while the clock is unproven") {
    BenchSite of;
    LimiterSettings settings = tests::bench_settings(of);
    const Instant wall{Seconds{1'790'000'000}};  // 14:13:20 UTC
    settings.worst[0][14] = tests::both(30);
    for (std::size_t hour = 0; hour < 24; ++hour) {
        if (hour != 14) settings.worst[0][hour] = tests::both(80);
    }
    settings.unproven = WhenUnproven::charge;
    Limiter limiter(settings, tests::boot(0), 1);
    limiter.report(0, {.taken = tests::boot(0), .status = PointStatus::charging, .offer = WholeAmps(0)});
    limiter.plan(0, {.pieces = {{{wall, wall + 10h}, WholeAmps(40)}}, .slack = {}});
    const auto after = [&](bool proven) {
        int setpoint = 0;
        for (int second = 0; second <= 70; ++second) {
            limiter.meter({.arrived = tests::boot(second), .amps = tests::both(10)});
            const auto decision = limiter.decide(
                {tests::boot(second), proven ? std::optional(wall + Seconds(second)) : std::nullopt});
            if (decision.points[0].write)
                limiter.accepted(0, decision.points[0].write->number, tests::boot(second));
            setpoint = decision.points[0].setpoint.count();
        }
        return setpoint;
    };
    SECTION("proven") { CHECK(after(true) == 40); }
    SECTION("unproven") { CHECK(after(false) == 20); }
}

TEST_CASE("52 A does not exist on the pilot: 51 is offered") {
    LimiterSettings settings = tests::bench_settings({.worst = 10});
    settings.site.nodes[1].rating = Amps(70);
    settings.site.points[0].hard_setting = WholeAmps(56);
    Limiter limiter(settings, tests::boot(0), 1);
    limiter.report(0, {.taken = tests::boot(0), .status = PointStatus::charging, .offer = WholeAmps(0)});
    const Instant wall{Seconds{1'790'000'000}};
    limiter.plan(0, {.pieces = {{{wall, wall + 10h}, WholeAmps(56)}}, .slack = {}});
    WholeAmps setpoint;
    for (int second = 0; second <= 60; ++second) {
        limiter.meter({.arrived = tests::boot(second), .amps = tests::both(28)});
        setpoint = limiter.decide({tests::boot(second), wall + Seconds(second)}).points[0].setpoint;
    }
    CHECK(setpoint == WholeAmps(51));
}

TEST_CASE("the plan, a hold and an outside ceiling bind at once") {
    LimiterBench bench = charging();
    SECTION("plan") {
        bench.planned(0, 12);
        bench.run(1, 20);
        CHECK(bench.setpoint() == 12);
        CHECK(bench.bind() == Bind::plan);
    }
    SECTION("hold") {
        bench.limiter.hold(0, Hold{});
        bench.run(1, 20);
        CHECK(bench.setpoint() == 0);
        CHECK(bench.bind() == Bind::hold);
        bench.limiter.hold(0, std::nullopt);
        bench.run(1, 20);
        CHECK(bench.setpoint() == 40);  // not a pause: the house was watched all along
    }
    SECTION("ceiling, and its value once the signal is lost") {
        bench.limiter.ceiling(0, Ceiling{Amps(50), bench.now.boot + 100s, Amps(30)});
        bench.run(2, 20);
        CHECK(bench.setpoint() == 30);
        CHECK(bench.bind() == Bind::ceiling);
        bench.run(100, 20);
        CHECK(bench.setpoint() == 10);
    }
}

TEST_CASE("generation is no relief, and a figure coarser than the node expects counts as load") {
    LimiterBench bench;
    const auto house = [&](const MeterSample& sample) {
        MeterSample now = sample;
        now.arrived = bench.now.boot;
        bench.limiter.meter(now);
        bench.wait(1);
        return site::on(*bench.limiter.house(0), site::Leg::L1).count();
    };
    using enum Direction;
    CHECK(house({.amps = tests::both(30)}) == 30);
    CHECK(house({.amps = tests::both(30), .direction = {feeding, drawing, drawing}}) == 0);
    CHECK(house({.amps = tests::both(10),
                 .direction = {feeding, feeding, drawing},
                 .generation = tests::both(25)}) == 15);
    CHECK(house({.amps = tests::both(30), .resolution = Amps(1)}) == 31);
}

TEST_CASE("near the night's budget of writes the calm time doubles, at it one last safe lease is given") {
    const auto charged = [](int tonight, int seconds) {
        LimiterBench bench({.worst = 55, .standing = 6});
        bench.limiter = Limiter(tests::bench_settings({.worst = 55, .standing = 6}), bench.now.boot, 1,
                                {{.ever = 0, .tonight = tonight}});
        bench.reported(0,
                       {.status = PointStatus::charging, .offer = WholeAmps(6), .current = tests::both(6)});
        bench.planned(0, 40);
        bench.measured(26);
        bench.ask();
        bench.run(seconds, 20);
        return bench;
    };
    CHECK(charged(95, 60).setpoint() == 40);
    CHECK(charged(96, 119).setpoint() == 6);
    CHECK(charged(96, 121).setpoint() == 40);
    LimiterBench last = charged(119, 121);
    CHECK(last.setpoint() == 25);  // 25 + 55 A stay within 80
    CHECK(last.binds(Bind::write_budget));
    CHECK(*last.last.points[0].lease_ends - last.now.boot > 59min);
    last.run(30, 60);
    CHECK(last.setpoint() == 20);  // a reduction is never withheld
    last.run(3700, 20);
    CHECK(last.setpoint() == 6);
    CHECK(last.binds(Bind::write_budget));
}
