// Time as the daemon sees it: proven or not, stepped, and in lockstep with a simulator.
#include <csignal>
#include <fstream>

#include "e2e/daemon/running_daemon.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;
using namespace std::chrono_literals;

namespace {

constexpr long long kTuesdayEvening = 1792530000;  // 2026-10-20T18:00 in Halifax

}  // namespace

TEST_CASE("a clock that nothing vouches for plans nothing, until the time service has set it") {
    OwnFolder folder;
    TimeMaster master((folder / "master").string());
    RunningDaemon daemon(folder, {.synchronized = false, .lockstep = master.path()});
    master.begin(kTuesdayEvening);
    daemon.wait_until_ready();
    const auto now = [&] { return lullwatt_run({"now", "--socket", daemon.socket()}).out; };
    CHECK(now() ==
          "Harbour Row 9, Tue 18:00, clock unproven\n"
          "  Heron at left point: not planned yet\n"
          "  Plover at right point: not planned yet\n");
    const Ran when = lullwatt_run({"when", "--car", "Heron", "--socket", daemon.socket()});
    CHECK(when.exit == Exit::refused);
    CHECK(
        when.err.find("lullwattd: clock: is not proven yet, so no night can be told. Mend: wait for the time "
                      "service") == 0);
    std::ofstream(folder / "synchronized") << "";
    master.advance_to(5s);
    CHECK(
        now().find(
            "Harbour Row 9, Tue 18:00, clock synchronized\n  Heron at left point: waits until Tue 21:00\n") ==
        0);
}

TEST_CASE("the site may say that another service keeps the time") {
    OwnFolder folder;
    copy_demo_site("harbour-row-9", folder.path());
    replace_in(folder / "harbour-row-9" / "site.yaml", "clock: wait", "clock: trusted");
    TimeMaster master((folder / "master").string());
    RunningDaemon daemon(folder, {.synchronized = false, .lockstep = master.path()});
    master.begin(kTuesdayEvening);
    daemon.wait_until_ready();
    CHECK(lullwatt_run({"now", "--socket", daemon.socket()}).out.find("clock trusted") != std::string::npos);
}

TEST_CASE("until the clock is proven the site's choice holds, and the plan from then on") {
    struct Choice {
        const char* written;
        const char* said;
    };
    const Choice choice =
        GENERATE(Choice{"clock: wait", "offered 0 A"}, Choice{"clock: standing", "offered 6 A"},
                 Choice{"clock: charge", "offered 20 A"});
    OwnFolder folder;
    copy_demo_site("harbour-row-9", folder.path());
    replace_in(folder / "harbour-row-9" / "site.yaml", "clock: wait", choice.written);
    TimeMaster master((folder / "master").string());
    RunningDaemon daemon(folder, {.synchronized = false, .lockstep = master.path()});
    master.begin_time_only(kTuesdayEvening);
    daemon.wait_until_ready();
    master.advance_to(5min);
    const auto heron = [&] {
        const std::string out = lullwatt_run({"now", "--socket", daemon.socket()}).out;
        return out.substr(out.find("Heron"), out.find("Plover") - out.find("Heron"));
    };
    INFO(choice.written);
    CHECK(heron().find(choice.said) != std::string::npos);
    CHECK(heron().find("the clock is not proven") != std::string::npos);
    std::ofstream(folder / "synchronized") << "";
    master.advance_to(7min);
    CHECK(heron().find("waits for the planned hours") != std::string::npos);
}

TEST_CASE("in lockstep the daemon moves only when told, and tells when it would wake next") {
    OwnFolder folder;
    TimeMaster master((folder / "master").string());
    RunningDaemon daemon(folder, {.lockstep = master.path()});
    master.begin(kTuesdayEvening);
    daemon.wait_until_ready();
    CHECK(master.advance_to(1000ms) == "{\"idle\":{\"boot_ms\":1000,\"next_ms\":15000}}");
    CHECK(lullwatt_run({"now", "--socket", daemon.socket()}).out.find("Tue 18:00") != std::string::npos);
    CHECK(master.advance_to(6h) == "{\"idle\":{\"boot_ms\":21600000,\"next_ms\":21660000}}");
    CHECK(lullwatt_run({"now", "--socket", daemon.socket()}).out.find("Harbour Row 9, Wed 00:00") == 0);
    CHECK(master.advance_to(5h) == "{\"idle\":{\"boot_ms\":21600000,\"next_ms\":21660000}}");  // never back
    master.leave();
    CHECK(daemon.wait_for_end() == 0);
}

TEST_CASE("a wall clock that is set has the night planned anew, forwards and backwards") {
    OwnFolder folder;
    TimeMaster master((folder / "master").string());
    RunningDaemon daemon(folder, {.lockstep = master.path()});
    master.begin(kTuesdayEvening);
    daemon.wait_until_ready();
    const auto now = [&] { return lullwatt_run({"now", "--json", "--socket", daemon.socket()}).out; };
    master.set_wall(kTuesdayEvening + 8 * 3600);  // 02:00, in the cheap hours
    master.advance_to(1ms);
    CHECK(now().find("\"planned_amps\": 20") != std::string::npos);
    master.set_wall(kTuesdayEvening - 2 * 3600);
    master.advance_to(2ms);
    CHECK(now().find("\"now\": \"2026-10-20T16:00:00-03:00\"") != std::string::npos);
    CHECK(now().find("\"planned_amps\": 20") == std::string::npos);
    daemon.signal(SIGTERM);
    CHECK(daemon.wait_for_end() == 0);
    CHECK(daemon.log().find("the wall clock was set; planning anew") != std::string::npos);
}

TEST_CASE("a clock that was years behind when the settings were read is followed once it is set") {
    OwnFolder folder;
    copy_demo_site("one-cable", folder.path());
    TimeMaster master((folder / "master").string());
    const std::string site = (folder / "one-cable" / "site.yaml").string();
    RunningDaemon daemon(folder, {.site = site, .synchronized = false, .lockstep = master.path()});
    master.begin(kTuesdayEvening - 4 * 365 * 86400LL);
    daemon.wait_until_ready();
    std::ofstream(folder / "synchronized") << "";
    master.set_wall(kTuesdayEvening);
    master.advance_to(5s);
    const Ran now = lullwatt_run({"now", "--socket", daemon.socket()});
    CHECK(now.exit == Exit::done);
    CHECK(now.out.find(", Tue ") != std::string::npos);
    CHECK(now.out.find("clock synchronized") != std::string::npos);
    daemon.signal(SIGTERM);
    CHECK(daemon.wait_for_end() == 0);
}

TEST_CASE("a clock that was ahead while the ledger was written is told with what helps") {
    OwnFolder folder;
    TimeMaster master((folder / "master").string());
    {
        RunningDaemon ahead(folder, {.lockstep = master.path()});
        master.begin(kTuesdayEvening + 300 * 86400LL);
        ahead.wait_until_ready();
        ahead.signal(SIGTERM);
        CHECK(ahead.wait_for_end() == 0);
        master.leave();
    }
    RunningDaemon daemon(folder, {.lockstep = master.path()});
    master.begin(kTuesdayEvening);
    daemon.wait_until_ready();
    const Ran hold = lullwatt_run({"hold", "22:00", "--socket", daemon.socket()});
    CHECK(hold.exit == Exit::refused);
    CHECK(hold.err.find("clock: is earlier than what the ledger has last, so no time can be told. Mend: set "
                        "the clock; where it is right") != std::string::npos);
}
