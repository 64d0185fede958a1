// The process as the service manager sees it: ready, alive, reloading, stopping.
#include <csignal>
#include <filesystem>
#include <fstream>

#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>

#include "e2e/daemon/running_daemon.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;
using lullwatt::tools::Exit;
using namespace std::chrono_literals;

TEST_CASE(
    "the daemon says that it is ready only when it answers, and ends within a second of SIGTERM or SIGINT") {
    const int ending = GENERATE(SIGTERM, SIGINT);
    const OwnFolder folder;
    RunningDaemon daemon(folder);
    daemon.wait_until_ready();
    const Ran now = lullwatt_run({"now", "--socket", daemon.socket()});
    CHECK(now.exit == Exit::done);
    CHECK(now.out.find("Harbour Row 9") == 0);
    CHECK(now.out.find("Heron at left point: ") != std::string::npos);

    const auto asked = std::chrono::steady_clock::now();
    daemon.signal(ending);
    daemon.notify().wait_for("STOPPING=1");
    CHECK(daemon.wait_for_end() == 0);
    CHECK(std::chrono::steady_clock::now() - asked < 1s);
    const std::string log = daemon.log();
    for (const char* step : {"stop: say so", "stop: close the socket", "stop: leave the house",
                             "stop: the clock", "stop: the planner", "stop: the loop"}) {
        INFO(log);
        CHECK(log.find(step) != std::string::npos);
    }
    CHECK_FALSE(std::filesystem::exists(daemon.socket()));
}

TEST_CASE("the watchdog is fed from the loop at half its interval") {
    const OwnFolder folder;
    RunningDaemon daemon(folder, {.environment = {"WATCHDOG_USEC=100000"}});
    daemon.notify().wait_for("WATCHDOG=1");
    daemon.wait_until_ready();
    const auto begin = std::chrono::steady_clock::now();
    for (int beat = 0; beat < 5; ++beat) daemon.notify().wait_for("WATCHDOG=1");
    CHECK(std::chrono::steady_clock::now() - begin >= 150ms);  // and not in a busy loop
}

TEST_CASE("a watchdog meant for another process is not fed") {
    const OwnFolder folder;
    RunningDaemon daemon(folder, {.environment = {"WATCHDOG_USEC=1000", "WATCHDOG_PID=1"}});
    daemon.wait_until_ready();
    CHECK(lullwatt_run({"now", "--socket", daemon.socket()}).exit == Exit::done);
    daemon.signal(SIGTERM);
    // Datagrams keep their order: a beat would stand before this one, and wait_for would drop it in silence.
    const std::string next = daemon.notify().wait_for("");
    CHECK(next.find("STOPPING=1") == 0);
}

TEST_CASE("the service manager's socket may be a path") {
    const OwnFolder folder;
    RunningDaemon daemon(folder, {.notify = (folder / "notify").string()});
    CHECK(daemon.notify().wait_for("READY=1").find("\nSTATUS=Harbour Row 9: 2 cars") != std::string::npos);
}

TEST_CASE("SIGHUP takes changed settings, and says when it begins and when it has") {
    const OwnFolder folder;
    RunningDaemon daemon(folder);
    daemon.wait_until_ready();
    replace_in(folder / "harbour-row-9" / "site.yaml", "name: Harbour Row 9", "name: Quayside 2");
    daemon.signal(SIGHUP);
    CHECK(daemon.notify().wait_for("RELOADING=1").find("\nMONOTONIC_USEC=") != std::string::npos);
    CHECK(daemon.notify().wait_for("READY=1").find("STATUS=Quayside 2") != std::string::npos);
    CHECK(lullwatt_run({"now", "--socket", daemon.socket()}).out.find("Quayside 2") == 0);
}

TEST_CASE("settings with faults are not taken: every fault is told, and the old ones stay in force") {
    const OwnFolder folder;
    RunningDaemon daemon(folder);
    daemon.wait_until_ready();
    replace_in(folder / "harbour-row-9" / "site.yaml", "name: Harbour Row 9", "name: Quayside 2");
    replace_in(folder / "harbour-row-9" / "site.yaml", "rating: 125 A", "rating: 125");
    replace_in(folder / "harbour-row-9" / "site.yaml", "ready_by: \"09:00\"", "ready_by: noon");
    SECTION("by the command") {
        const Ran reload = lullwatt_run({"reload", "--socket", daemon.socket()});
        CHECK(reload.exit == Exit::refused);
        CHECK(reload.out.empty());
        CHECK(reload.err.find("service.rating '125': has no unit") != std::string::npos);
        CHECK(reload.err.find("cars[1].ready_by 'noon'") != std::string::npos);
    }
    SECTION("by the signal") {
        daemon.signal(SIGHUP);
        daemon.notify().wait_for("RELOADING=1");
        CHECK(daemon.notify().wait_for("READY=1").find("have faults and were not taken") !=
              std::string::npos);
    }
    CHECK(lullwatt_run({"now", "--socket", daemon.socket()}).out.find("Harbour Row 9") == 0);
    daemon.signal(SIGTERM);
    CHECK(daemon.wait_for_end() == 0);
    CHECK(daemon.log().find("service.rating '125': has no unit") != std::string::npos);
    CHECK(daemon.log().find("cars[1].ready_by 'noon'") != std::string::npos);
    CHECK(daemon.log().find("has 2 faults; the settings in force stay in force") != std::string::npos);
}

TEST_CASE("a site file with faults does not start: all of them, status 1, never READY") {
    const OwnFolder folder;
    copy_demo_site("harbour-row-9", folder.path());
    replace_in(folder / "harbour-row-9" / "site.yaml", "rating: 125 A", "rating: 125");
    replace_in(folder / "harbour-row-9" / "site.yaml", "ready_by: \"09:00\"", "ready_by: noon");
    RunningDaemon daemon(folder);
    CHECK(daemon.wait_for_end() == 1);
    CHECK(daemon.log().find("service.rating '125': has no unit") != std::string::npos);
    CHECK(daemon.log().find("cars[1].ready_by 'noon'") != std::string::npos);
    CHECK(daemon.log().find("not started: read the settings failed") != std::string::npos);
    CHECK(daemon.notify().wait_for("").find("STOPPING=1") == 0);
}

TEST_CASE("a second daemon on the same socket does not start, and leaves the first one's alone") {
    const OwnFolder folder;
    RunningDaemon first(folder);
    first.wait_until_ready();
    RunningDaemon second(folder, {.notify = (folder / "second").string()});
    CHECK(second.wait_for_end() == 1);
    CHECK(second.log().find("is answered by another daemon. Mend: stop that one first") != std::string::npos);
    CHECK(lullwatt_run({"now", "--socket", first.socket()}).exit == Exit::done);
}

TEST_CASE("a daemon killed outright leaves its socket behind, and the next one takes it over") {
    const OwnFolder folder;
    {
        RunningDaemon killed(folder);
        killed.wait_until_ready();
        killed.signal(SIGKILL);
        CHECK(killed.wait_for_end() == 128 + SIGKILL);
    }
    REQUIRE(std::filesystem::exists(folder / "socket"));
    RunningDaemon next(folder);
    next.wait_until_ready();
    CHECK(lullwatt_run({"now", "--socket", next.socket()}).exit == Exit::done);
}

TEST_CASE("a file that is no socket is not taken away") {
    const OwnFolder folder;
    std::ofstream(folder / "socket") << "somebody's";
    RunningDaemon daemon(folder);
    CHECK(daemon.wait_for_end() == 1);
    CHECK(whole((folder / "socket").string()) == "somebody's");
}

TEST_CASE("only its owner and its group may use the socket") {
    const OwnFolder folder;
    RunningDaemon daemon(folder);
    daemon.wait_until_ready();
    struct stat there {};
    REQUIRE(::stat(daemon.socket().c_str(), &there) == 0);
    CHECK((there.st_mode & 0777U) == 0660U);
}

TEST_CASE("a listening socket handed over is adopted and outlives the daemon") {
    const OwnFolder folder;
    const std::string path = (folder / "handed-over").string();
    const int listening = ::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    sockaddr_un to{};
    to.sun_family = AF_UNIX;
    std::copy(path.begin(), path.end(), to.sun_path);
    REQUIRE(::bind(listening, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0);
    REQUIRE(::listen(listening, 16) == 0);

    RawClient early(path);  // before there is a daemon
    early.send("{\"do\":\"now\"}\n");
    {
        RunningDaemon daemon(folder, {.listening = listening});
        daemon.wait_until_ready();
        CHECK(early.line().find("Harbour Row 9") != std::string::npos);
        CHECK_FALSE(std::filesystem::exists(daemon.socket()));
        daemon.signal(SIGTERM);
        CHECK(daemon.wait_for_end() == 0);
    }
    CHECK(std::filesystem::exists(path));
    RawClient between(path);
    between.send("{\"do\":\"now\"}\n");
    RunningDaemon again(folder, {.listening = listening});
    CHECK(between.line().find("Harbour Row 9") != std::string::npos);
    ::close(listening);
}
