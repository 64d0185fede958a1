// A night at the demo house with the real daemon in lockstep: one car, a quiet house unless told otherwise.
#pragma once

#include <csignal>

#include "e2e/daemon/simulated_house.hpp"
#include "support/shell.hpp"

namespace lullwatt::tests {

inline constexpr int kHour = 3600;
inline constexpr int kMinute = 60;
inline constexpr int kElevenPm = 5 * kHour;
inline constexpr int kResponse = 4;  // of the simulated car
// Bound (a) of design §7: a sample, two samples or 3 s, the answer, the response.
inline constexpr int kAllAlive = 1 + 3 + 1 + kResponse;

struct Night {
    OwnFolder folder;
    TimeMaster master{(folder / "master").string()};
    std::function<double(int)> load = [](int) { return 20.0; };
    SimulatedHouse house;
    std::optional<RunningDaemon> daemon;

    // The car needs `need` by 07:00. `begins`: a 18:00 by the house's clock.
    explicit Night(const char* need = "5", long long begins = SimulatedHouse::kTuesdayEvening)
        : house(
              master, [this](int second) { return load(second); }, begins) {
        start();
        CHECK(ask({"need", "--car", "Heron", "--need", need, "--ready-by", "07:00"}).exit ==
              tools::Exit::done);
    }
    void start() {
        daemon.emplace(folder, DaemonSetting{.lockstep = master.path()});
        house.begin();
        daemon->wait_until_ready();
    }
    void kill() {
        daemon->signal(SIGKILL);
        CHECK(daemon->wait_for_end() == 128 + SIGKILL);
        daemon.reset();
        master.leave();
    }
    // Its log is written beside the loop: whole only when the daemon has ended.
    std::string end() {
        daemon->signal(SIGTERM);
        CHECK(daemon->wait_for_end() == 0);
        return daemon->log();
    }
    Ran ask(std::vector<std::string> arguments) const {
        arguments.insert(arguments.end(), {"--socket", (folder / "socket").string()});
        return lullwatt_run(arguments);
    }
    std::string why() const { return ask({"why", "--car", "Heron"}).out; }
    std::filesystem::path site() const { return folder / "harbour-row-9" / "site.yaml"; }
};

}  // namespace lullwatt::tests
