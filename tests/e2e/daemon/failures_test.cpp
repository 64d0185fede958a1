// What fails around the real daemon while the car charges: what flows, and what is said of it.
#include <csignal>

#include <fmt/format.h>
#include <sys/resource.h>

#include "e2e/daemon/night.hpp"
#include "support/sanitized.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

TEST_CASE(
    "changed settings are in force within seconds while the car charges, and wrong ones change nothing") {
    Night night("18.6");
    night.house.plug_in();
    night.house.run_to(kElevenPm + 5 * kMinute);
    REQUIRE(night.house.car() == 20);
    SECTION("good ones that change nothing about the car leave it alone") {
        replace_in(night.site(), "name: Harbour Row 9", "name: Quayside 2");
        const int writes = night.house.writes();
        CHECK(night.ask({"reload"}).exit == Exit::done);
        night.house.run_to(night.house.second() + 30);
        CHECK(night.house.car() == 20);
        CHECK(night.house.writes() == writes);
    }
    SECTION("a lower installer's setting lowers it") {
        replace_in(night.site(), "carport left, hard_setting: 20 A", "carport left, hard_setting: 10 A");
        CHECK(night.ask({"reload"}).exit == Exit::done);
        night.house.run_to(night.house.second() + 5 + kResponse);
        CHECK(night.house.car() == 10);
        CHECK(night.why().find("its installer set no more") != std::string::npos);
    }
    SECTION("with a fault anywhere the old ones stay") {
        replace_in(night.site(), "carport left, hard_setting: 20 A", "carport left, hard_setting: 10");
        CHECK(night.ask({"reload"}).exit == Exit::refused);
        night.house.run_to(night.house.second() + 30);
        CHECK(night.house.car() == 20);
    }
    CHECK(night.house.longest_excess() == 0);
}

TEST_CASE("equipment that starts again is told its offer anew at once") {
    Night night("18.6");
    night.house.plug_in();
    night.house.run_to(kElevenPm + 5 * kMinute);
    REQUIRE(night.house.car() == 20);
    night.house.restart_equipment();
    night.house.run_to(night.house.second() + 20);
    CHECK(night.house.car() == 0);
    night.house.run_to(night.house.second() + 5 + kResponse);
    CHECK(night.house.car() == 20);
    CHECK(night.end().find("left point: its equipment started again") != std::string::npos);
}

TEST_CASE("a car that sleeps and wakes at 05:30 finds its offer, and yields to the house as ever") {
    if (kSanitized) SKIP_CASE("hours in lockstep; runs in release, and shorter nights run here");
    Night night("40");
    const int half_past_five = 11 * kHour + 30 * kMinute;
    const int oven = half_past_five + 5 * kMinute;
    night.load = [oven](int second) { return second >= oven && second < oven + 20 * kMinute ? 90.0 : 20.0; };
    night.house.plug_in();
    night.house.run_to(kElevenPm + 30 * kMinute);
    REQUIRE(night.house.car() == 20);
    night.house.sleep(true);
    night.house.run_to(half_past_five);
    CHECK(night.why().find("Heron: suspended-by-car, offered 20 A, draws 0.0 A") == 0);
    night.house.sleep(false);
    night.house.run_to(half_past_five + kResponse + 1);
    CHECK(night.house.car() == 20);
    night.house.run_to(oven + 20);
    CHECK(night.house.car() == 9);
    CHECK(night.house.longest_excess() <= kAllAlive);
}

TEST_CASE("a wall clock that is set by two hours changes the plan and no limit") {
    if (kSanitized) SKIP_CASE("hours in lockstep; runs in release, and shorter nights run here");
    Night night("18.6");
    const int hours_ahead = GENERATE(2, -2);
    const int oven = kElevenPm + 15 * kMinute;
    night.load = [oven](int second) { return second >= oven && second < oven + kHour ? 90.0 : 20.0; };
    night.house.plug_in();
    night.house.run_to(kElevenPm + 10 * kMinute);
    REQUIRE(night.house.car() == 20);
    night.house.set_wall(hours_ahead * kHour);
    night.house.run_to(night.house.second() + 5);
    // At once, not with the next plan: 17.8 kWh take until ten to five, or wait for eleven again.
    const std::string now = night.ask({"now"}).out;
    INFO(now);
    CHECK(now.find(hours_ahead > 0 ? "20 A until Wed 04:50" : "waits until Tue 23:00") != std::string::npos);
    night.house.run_to(oven - 1);
    // Two hours on it is 01:15, in the middle of the cheap hours; two hours back the day's price holds again.
    CHECK(night.house.car() == (hours_ahead > 0 ? 20 : 0));
    night.house.run_to(oven + 20);
    CHECK(night.house.car() == (hours_ahead > 0 ? 9 : 0));
    CHECK(night.house.longest_excess() <= kAllAlive);
    night.house.run_to(night.house.second() + 7 * kHour);
    night.house.unplug();
    const long long delivered = night.house.register_wh() - 1000;
    night.house.run_to(night.house.second() + 10);
    const std::string log = night.end();
    CHECK(log.find("the wall clock was set; planning anew") != std::string::npos);
    INFO(log);
    CHECK(log.find(fmt::format(", {}.{:03} kWh", delivered / 1000, delivered % 1000)) != std::string::npos);
}

TEST_CASE(
    "a daemon that is dead for over an hour leaves its lease and then standing, and no rating is passed") {
    if (kSanitized) SKIP_CASE("hours in lockstep; runs in release, and shorter nights run here");
    Night night("18.6");
    night.house.plug_in();
    night.house.run_to(kElevenPm + 5 * kMinute);
    REQUIRE(night.house.car() == 20);
    night.kill();
    night.house.run_alone_to(night.house.second() + kHour + kResponse);  // a lease is no longer
    CHECK(night.house.car() == 6);                                       // its standing current
    night.house.run_alone_to(night.house.second() + 10 * kMinute);
    night.start();
    night.house.run_to(night.house.second() + 5 * kMinute + 3 * kMinute);
    CHECK(night.house.car() == 20);
    night.house.run_to(13 * kHour - 1);
    const long long delivered = night.house.register_wh() - 1000;
    CHECK(delivered >= 18'600);
    CHECK(delivered < 18'600 + 500);
}

TEST_CASE("both nights on which the clocks change are charged to the last hour, neither early nor late") {
    if (kSanitized) SKIP_CASE("hours in lockstep; runs in release, and shorter nights run here");
    SECTION("the long one: 01:00 comes twice, and 07:00 is an hour further away") {
        Night night("18.6", 1793480400);  // Saturday 31 October 2026, 18:00 in Halifax
        night.house.plug_in();
        night.house.run_to(14 * kHour - 1);
        CHECK(night.house.register_wh() - 1000 >= 18'600);
        CHECK(night.house.register_wh() - 1000 < 19'100);
        CHECK(night.ask({"now"}).out.find("Sun 06:59") != std::string::npos);
    }
    SECTION("the short one: 02:00 does not come, and 07:00 is an hour nearer") {
        Night night("36", 1804975200);  // Saturday 13 March 2027, 18:00 in Halifax
        night.house.plug_in();
        night.house.run_to(12 * kHour - 1);
        CHECK(night.house.register_wh() - 1000 >= 36'000);
        CHECK(night.house.register_wh() - 1000 < 36'500);
        CHECK(night.ask({"now"}).out.find("Sun 06:59") != std::string::npos);
    }
}

TEST_CASE("a disk that is full when a session begins keeps no current from being limited, and is told") {
    Night night;
    const auto limit_files = [&](rlim_t bytes) {
        const rlimit limit{bytes, RLIM_INFINITY};
        REQUIRE(::prlimit(night.daemon->process(), RLIMIT_FSIZE, &limit, nullptr) == 0);
    };
    limit_files(1);
    const int oven = kElevenPm + 10 * kMinute;
    night.load = [oven](int second) { return second >= oven ? 90.0 : 20.0; };
    night.house.plug_in();
    night.house.run_to(kElevenPm + 5 * kMinute);
    CHECK(night.house.car() == 20);
    CHECK(night.house.recorded().empty());
    CHECK(night.ask({"now"}).out.find("NOT RECORDED: the ledger cannot be written") != std::string::npos);
    night.house.run_to(oven + 20);
    CHECK(night.house.car() == 9);
    CHECK(night.house.longest_excess() <= kAllAlive);
    limit_files(RLIM_INFINITY);
    const auto deadline = std::chrono::steady_clock::now() + kDeadline;
    while (night.house.recorded().empty() && std::chrono::steady_clock::now() < deadline)
        night.house.run_to(night.house.second() + 1);
    CHECK(night.house.recorded().find("\"transaction\":1") != std::string::npos);
    CHECK(night.ask({"now"}).out.find("NOT RECORDED") == std::string::npos);
}
