// Several cars on one house: who yields, who gets, and when amperes may change hands.
#include "support/catch.hpp"
#include "support/limiter_bench.hpp"

using namespace lullwatt;
using namespace lullwatt::control;
using namespace std::chrono_literals;
using tests::LimiterBench;

namespace {

// Two cars that charge at 30 and 20 A beside a house of 20 A; the second has more time.
LimiterBench two_cars() {
    LimiterBench bench({.points = 2, .worst = 40});
    for (std::size_t p = 0; p < 2; ++p)
        bench.reported(p,
                       {.status = PointStatus::charging, .offer = WholeAmps(0), .current = tests::both(0)});
    bench.planned(0, 30, Seconds{600});
    bench.planned(1, 20, Seconds{7200});
    bench.measured(20);
    bench.ask();
    bench.run(200, 20);
    REQUIRE(bench.setpoint(0) == 30);
    REQUIRE(bench.setpoint(1) == 20);
    return bench;
}

}  // namespace

TEST_CASE("the car with most time to spare yields first, and is paused before the other gives anything") {
    LimiterBench bench = two_cars();
    bench.run(2, 40);
    CHECK(bench.setpoint(0) == 30);
    CHECK(bench.setpoint(1) == 10);
    bench.run(8, 40);
    bench.run(8, 46);
    CHECK(bench.setpoint(0) == 30);
    CHECK(bench.setpoint(1) == 0);
    bench.run(8, 60);
    CHECK(bench.setpoint(0) == 20);
    CHECK(bench.setpoint(1) == 0);
}

TEST_CASE("amperes taken from one car go to the other only when its fall is measured") {
    LimiterBench bench = two_cars();
    bench.run(5, 30);  // 30 + 30 + 20: nothing is left
    bench.planned(0, 40, Seconds{600});
    bench.planned(1, 10, Seconds{7200});
    bench.wait(1);
    bench.measured(80);
    bench.ask();
    CHECK(bench.setpoint(1) == 10);
    CHECK(bench.setpoint(0) == 30);
    CHECK(bench.bind(0) == Bind::other_point);
    // The second car has not been heard to fall; the house is quiet.
    for (int second = 0; second < 100; ++second) {
        bench.wait(1);
        bench.measured(70);
        bench.charging(0, 30);
        bench.ask();
        CHECK(bench.setpoint(0) == 30);
    }
    bench.charging(1, 10);
    bench.measured(70);
    bench.ask();
    CHECK(bench.setpoint(0) == 40);
}

TEST_CASE(
    "a point whose link is lost counts with its lease until that ends, then with its standing current") {
    LimiterBench bench({.points = 2, .worst = 20, .standing = 6});
    for (std::size_t p = 0; p < 2; ++p)
        bench.reported(p,
                       {.status = PointStatus::charging, .offer = WholeAmps(6), .current = tests::both(6)});
    bench.planned(0, 30);
    bench.planned(1, 30);
    bench.measured(32);
    bench.ask();
    bench.run(200, 20);
    REQUIRE(bench.setpoint(0) == 30);
    REQUIRE(bench.setpoint(1) == 30);
    const BootTime ends = *bench.last.points[0].lease_ends;
    bench.limiter.link(0, false);
    bench.planned(1, 40);
    const auto ask_at_quiet = [&](double lost_car) {
        bench.wait(1);
        bench.measured(20 + lost_car + bench.setpoint(1));
        bench.charging(1, bench.setpoint(1));
        bench.ask();
    };
    while (bench.now.boot < ends - 1s) ask_at_quiet(30);
    CHECK(bench.setpoint(0) == 30);
    CHECK(bench.setpoint(1) == 30);
    CHECK(bench.bind(1) == Bind::limit);
    CHECK(bench.bind(0) == Bind::link_lost);
    for (int second = 0; second < 100; ++second) ask_at_quiet(6);
    CHECK(bench.setpoint(0) == 6);
    CHECK(bench.setpoint(1) == 40);
}

TEST_CASE("a suspended car keeps the others from its setpoint") {
    LimiterBench bench = two_cars();
    bench.reported(1, {.status = PointStatus::suspended_by_car, .current = tests::both(0)});
    bench.planned(0, 40, Seconds{600});
    for (int second = 0; second < 120; ++second) {
        bench.wait(1);
        bench.measured(50);
        bench.charging(0, 30);
        bench.ask();
    }
    CHECK(bench.setpoint(0) == 40);  // 20 + 40 + 20 stay within 80
    bench.run(0, 20);
    for (int second = 0; second < 3; ++second) {
        bench.wait(1);
        bench.measured(24 + 40);
        bench.charging(0, 40);
        bench.ask();
    }
    CHECK(bench.setpoint(1) == 16);  // the sleeping one yields: 24 + 40 + 16
    CHECK(bench.setpoint(0) == 40);
}

TEST_CASE("leases of several cars together stay within every rating") {
    LimiterBench bench({.points = 2, .worst = 50, .standing = 6});
    for (std::size_t p = 0; p < 2; ++p)
        bench.reported(p,
                       {.status = PointStatus::charging, .offer = WholeAmps(6), .current = tests::both(6)});
    bench.planned(0, 40, Seconds{600});
    bench.planned(1, 40, Seconds{7200});
    bench.measured(22);
    bench.ask();
    bench.run(400, 10);
    CHECK(bench.setpoint(0) == 40);
    CHECK(bench.setpoint(1) == 10);
    CHECK(bench.binds(Bind::lease_cap, 1));
}

TEST_CASE("a thin feeder without a meter holds its cars to its limit less its worst load") {
    LimiterBench bench({.points = 2, .worst = 20, .feeder = 60});
    for (std::size_t p = 0; p < 2; ++p)
        bench.reported(p,
                       {.status = PointStatus::charging, .offer = WholeAmps(0), .current = tests::both(0)});
    bench.planned(0, 32, Seconds{7200});
    bench.planned(1, 32, Seconds{600});
    bench.measured(10);
    bench.ask();
    bench.run(300, 10);
    CHECK(bench.setpoint(1) == 32);
    CHECK(bench.setpoint(0) == 16);
    CHECK(bench.bind(0) == Bind::unmetered);
    CHECK(bench.last.points[0].reasons.front().node == 1U);
}

TEST_CASE("an empty connector takes nothing from others, and a car set by hand is part of the house") {
    LimiterSettings settings = tests::bench_settings({.points = 2, .worst = 20});
    settings.site.points[1].control = site::Control::by_hand;
    settings.site.points[1].hard_setting = WholeAmps(16);
    settings.unattended[1] = WholeAmps(16);
    LimiterBench bench({.points = 2});
    bench.limiter = Limiter(settings, bench.now.boot, 1);
    bench.reported(0, {.status = PointStatus::charging, .offer = WholeAmps(0), .current = tests::both(0)});
    bench.planned(0, 40);
    for (int second = 0; second <= 60; ++second) {
        bench.measured(10 + 16);
        bench.ask();
        bench.wait(1);
    }
    CHECK(bench.setpoint(0) == 40);
    CHECK(bench.bind(1) == Bind::installer_setting);
    CHECK(*bench.last.points[0].lease_ends - bench.now.boot > 59min);  // 40 + 16 + 20 stay within 80
    bench.reported(0, {.status = PointStatus::empty});
    bench.ask();
    CHECK(bench.bind(0) == Bind::no_car);
    CHECK_FALSE(bench.last.points[0].write);
}
