// A night at a house, through the real daemon in lockstep: what flows, what is said, what is recorded.
#include "e2e/daemon/night.hpp"

#include <csignal>

#include <fmt/format.h>

#include "support/sanitized.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;

TEST_CASE(
    "a car plugged in at six waits for the cheap hours, gets what it needs, and its session is one line") {
    if (kSanitized) SKIP_CASE("hours in lockstep; runs in release, and shorter nights run here");
    Night night;
    night.house.plug_in();
    night.house.run_to(kHour);
    CHECK(night.house.car() == 0);
    CHECK(night.why().find("Heron: charging, offered 0 A, draws 0.0 A: waits for the planned hours.") == 0);
    CHECK(night.house.recorded().find("\"transaction\":1") != std::string::npos);
    night.house.run_to(kElevenPm + 5 * kMinute);
    CHECK(night.house.car() == 20);
    CHECK(night.ask({"now"}).out.find("offered 20 A, draws 20.0 A: as planned") != std::string::npos);
    night.house.run_to(9 * kHour);  // 03:00
    CHECK(night.house.car() == 0);
    const long long delivered = night.house.register_wh() - 1000;
    CHECK(delivered >= 5000);
    CHECK(delivered < 5500);
    night.house.unplug();
    night.house.run_to(9 * kHour + 10);
    night.daemon->signal(SIGTERM);
    CHECK(night.daemon->wait_for_end() == 0);
    const std::string log = night.daemon->log();
    INFO(log);
    CHECK(log.find("session: Session 1: left point, Heron, 2026-10-20 18:00 to 2026-10-21 03:00, 5.") !=
          std::string::npos);
    CHECK(log.find(" CAD; at once ") != std::string::npos);
    const Ran report = lullwatt_run({"sessions", "--month", "2026-10", "--site",
                                     (night.folder / "harbour-row-9" / "site.yaml").string(), "--ledger",
                                     (night.folder / "state" / "ledger.sqlite").string()});
    INFO(report.out << report.err);
    CHECK(report.exit == Exit::done);
    CHECK(report.out.find("2026-10-20 18:00  2026-10-21 03:00  left point  Heron         5.") !=
          std::string::npos);
    CHECK(night.house.longest_excess() == 0);
    CHECK(night.house.writes() < 20);
}

TEST_CASE("a session whose end nobody told ends where the next one begins") {
    Night night;
    night.house.plug_in();
    night.house.run_to(kElevenPm + 10 * kMinute);
    const long long first = night.house.register_wh() - 1000;
    REQUIRE(first > 0);
    night.house.plug_in();
    night.house.run_to(night.house.second() + 10 * kMinute);
    night.house.unplug();
    night.house.run_to(night.house.second() + 10);
    const std::string log = night.end();
    INFO(log);
    CHECK(log.find(fmt::format("Session 1: left point, Heron, 2026-10-20 18:00 to 2026-10-20 23:10, {}.{:03} "
                               "kWh",
                               first / 1000, first % 1000)) != std::string::npos);
    CHECK(log.find("register by clock") != std::string::npos);
    CHECK(log.find("Session 2: left point, Heron, 2026-10-20 23:10 to 2026-10-20 23:20") !=
          std::string::npos);
}

TEST_CASE("a need told in the place of another is all still to come") {
    if (kSanitized) SKIP_CASE("hours in lockstep; runs in release, and shorter nights run here");
    Night night("5");
    night.house.plug_in();
    night.house.run_to(kElevenPm + 30 * kMinute);
    const long long before = night.house.register_wh();
    REQUIRE(before > 1000 + 2000);
    CHECK(night.ask({"need", "--car", "Heron", "--need", "4", "--ready-by", "07:00"}).exit == Exit::done);
    night.house.run_to(13 * kHour);
    CHECK(night.house.register_wh() - before >= 4000);
    CHECK(night.house.register_wh() - before < 4500);
}

TEST_CASE("an oven that comes on lowers the car within seconds, and why says so") {
    Night night;
    const int oven = kElevenPm + 10 * kMinute;
    night.load = [oven](int second) { return second >= oven && second < oven + 20 * kMinute ? 90.0 : 20.0; };
    night.house.plug_in();
    night.house.run_to(oven - 1);
    REQUIRE(night.house.car() == 20);
    night.house.run_to(oven + 20);
    CHECK(night.house.car() == 9);  // 99.9 A less 90 A
    CHECK(night.why().find("offered 9 A, draws 9.0 A: ") != std::string::npos);
    CHECK(night.why().find("service, leg L1") != std::string::npos);
    CHECK(night.house.longest_excess() <= 1 + 3 + 1 + 4);  // sample, two samples or 3 s, answer, response
    // The retreat came soon after a raise, so the calm time is two minutes by then.
    night.house.run_to(oven + 20 * kMinute + 100);
    CHECK(night.house.car() == 9);
    night.house.run_to(oven + 20 * kMinute + 150);
    CHECK(night.house.car() >= 19);
    night.daemon->signal(SIGTERM);
    night.daemon->wait_for_end();  // the log is written beside the loop: whole only then
    INFO(night.daemon->log());
    CHECK(night.daemon->log().find("left point: 9 A: the house leaves no more at service, leg L1") !=
          std::string::npos);
}

TEST_CASE("a hold stops a charging car within five seconds of its response, and lifting it lets it go on") {
    Night night;
    night.house.plug_in();
    night.house.run_to(kElevenPm + 5 * kMinute);
    REQUIRE(night.house.car() == 20);
    CHECK(night.ask({"hold", "02:00"}).exit == Exit::done);
    night.house.run_to(night.house.second() + 5 + 4);
    CHECK(night.house.car() == 0);
    CHECK(night.why().find("held, as the household said") != std::string::npos);
    CHECK(night.ask({"hold", "--off"}).exit == Exit::done);
    night.house.run_to(night.house.second() + 5 * kMinute + 2 * kMinute);
    CHECK(night.house.car() >= 6);
}

TEST_CASE(
    "a daemon killed while the car charges leaves it a lease that runs out, and takes the session up again") {
    Night night;
    night.house.plug_in();
    night.house.run_to(kElevenPm + 5 * kMinute);
    REQUIRE(night.house.car() == 20);
    night.kill();
    night.start();
    CHECK(night.ask({"now"}).out.find("since it was plugged in") != std::string::npos);
    night.house.run_to(kElevenPm + 10 * kMinute);
    CHECK(night.house.car() == 20);
    night.house.run_to(9 * kHour);
    const long long delivered = night.house.register_wh() - 1000;
    CHECK(delivered >= 5000);
    CHECK(delivered < 5500);
    night.house.unplug();
    night.house.run_to(9 * kHour + 10);
    night.daemon->signal(SIGTERM);
    night.daemon->wait_for_end();
    CHECK(night.daemon->log().find(
              "session: Session 1: left point, Heron, 2026-10-20 18:00 to 2026-10-21 03:00, 5.") !=
          std::string::npos);
}

TEST_CASE("a meter that falls silent brings the car down to what the house at its worst leaves") {
    Night night;
    night.house.plug_in();
    night.house.run_to(kElevenPm + 5 * kMinute);
    REQUIRE(night.house.car() == 20);
    night.house.meter_silent = true;
    night.house.run_to(night.house.second() + 15 + 1 + 1 + 4);
    INFO(night.why());
    CHECK(night.why().find("the meter of service, leg L1 is silent, so the house counts at its worst") !=
          std::string::npos);
    night.house.meter_silent = false;
    night.house.run_to(night.house.second() + 5 * kMinute + 2 * kMinute);
    CHECK(night.house.car() == 20);
}

TEST_CASE("a link that is lost is told, and its return is driven on") {
    Night night;
    night.house.plug_in();
    night.house.run_to(kElevenPm + 5 * kMinute);
    night.house.lose_link();
    night.house.run_to(night.house.second() + 10);
    CHECK(night.why().find("its link is lost; what it was lent runs out") != std::string::npos);
    night.house.run_to(night.house.second() + 20 * kMinute);
    night.house.restore_link();
    night.house.run_to(night.house.second() + 2 * kMinute);
    CHECK(night.house.car() == 20);
}

TEST_CASE("plans made anew within a minute are no pause: the car charges through") {
    Night night("18.6", SimulatedHouse::kTuesdayEvening + 23);
    night.house.plug_in();
    night.house.run_to(kElevenPm + 5 * kMinute);
    REQUIRE(night.house.car() == 20);
    const int end = kElevenPm + 35 * kMinute;
    while (night.house.second() < end) {
        night.house.run_to(night.house.second() + 1);
        INFO("second " << night.house.second());
        REQUIRE(night.house.car() >= 6);
    }
}
