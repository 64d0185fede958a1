// The daemon on the computer's own time, with the house that it simulates for itself.
#include <csignal>

#include "e2e/daemon/running_daemon.hpp"
#include "support/shell.hpp"

using namespace lullwatt::tests;

namespace {

std::string now_of(const RunningDaemon& daemon) {
    return lullwatt_run({"now", "--socket", daemon.socket()}).out;
}

// Asks until it says so, or a failure's deadline is over.
bool says(const RunningDaemon& daemon, const std::string& what) {
    const auto deadline = std::chrono::steady_clock::now() + kDeadline;
    while (std::chrono::steady_clock::now() < deadline) {
        if (now_of(daemon).find(what) != std::string::npos) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("outside lockstep the daemon hears its simulated house, drives it and records it") {
    const OwnFolder folder;
    RunningDaemon daemon(folder);
    daemon.wait_until_ready();
    CHECK(says(daemon, "house at service: L1 "));
    daemon.signal(SIGTERM);
    CHECK(daemon.wait_for_end() == 0);
    CHECK(daemon.log().find("the house is simulated: what it draws and charges is invented") !=
          std::string::npos);
}
