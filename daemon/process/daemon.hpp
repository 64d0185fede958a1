// The process: its parts, and the steps that start and stop them. main() has the two lists.
//
// Main thread only, which is also the loop's. Each step of the start needs those before it.
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "daemon/clock/boot_alarms.hpp"
#include "daemon/clock/fast_time.hpp"
#include "daemon/clock/system_clock.hpp"
#include "daemon/keeper/keeper.hpp"
#include "daemon/lockstep/lockstep.hpp"
#include "daemon/lockstep/simulated_links.hpp"
#include "daemon/log/log.hpp"
#include "daemon/loop/loop.hpp"
#include "daemon/planner/worker.hpp"
#include "daemon/process/options.hpp"
#include "daemon/simulation/simulated_home.hpp"
#include "daemon/socket/server.hpp"
#include "daemon/store/ledger_store.hpp"
#include "daemon/supervisor/supervisor.hpp"

namespace lullwatt::daemon {

class Daemon {
  public:
    explicit Daemon(Options options);
    ~Daemon();
    Daemon(const Daemon&) = delete;
    Daemon& operator=(const Daemon&) = delete;

    struct Start {
        std::string_view name;
        io::Faults (Daemon::*step)();
    };
    struct Stop {
        std::string_view name;
        void (Daemon::*step)();
    };
    // In order, until one has faults; those are logged. True: all went well.
    [[nodiscard]] bool start(std::span<const Start> steps);
    // Until a signal ends it.
    void run();
    // Every step, in order, also after one has failed, and after a start that did not come through.
    void stop(std::span<const Stop> steps);

    // The start.
    [[nodiscard]] io::Faults take_time();
    [[nodiscard]] io::Faults read_settings();
    [[nodiscard]] io::Faults read_wishes();
    [[nodiscard]] io::Faults watch_signals();
    [[nodiscard]] io::Faults start_planner();
    [[nodiscard]] io::Faults open_ledger();
    [[nodiscard]] io::Faults link();
    [[nodiscard]] io::Faults watch_clock();
    [[nodiscard]] io::Faults keep_house();
    [[nodiscard]] io::Faults open_socket();
    [[nodiscard]] io::Faults say_ready();

    // The stop.
    void say_stopping();
    void close_socket();
    void leave_house();
    void unwatch_clock();
    void stop_planner();
    void unlink();
    void close_ledger();
    void drain_loop();

  private:
    void on_signal(int signal);
    void run_stepped();
    [[nodiscard]] const Clock& clock() const;
    [[nodiscard]] Alarms& alarms();
    void renew_zone();
    void say_links(const io::Household& household) const;

    Options options_;
    Supervisor supervisor_;
    std::vector<int> inherited_;
    SystemClock system_clock_;
    std::unique_ptr<Lockstep> lockstep_;  // of it and fast_ one at most
    LogBook book_;
    Log log_;
    HouseholdPtr household_;
    Wishes wishes_;
    Loop loop_;
    BootAlarms boot_alarms_;
    std::unique_ptr<FastTime> fast_;
    std::unique_ptr<Worker> worker_;
    std::optional<ClockSteps> clock_steps_;
    std::unique_ptr<LedgerStore> store_;
    std::vector<io::ledger::StoredTransaction> open_;
    std::optional<Instant> last_recorded_;
    std::vector<control::WritesSoFar> writes_;  // per point, as the ledger counts them
    std::vector<PointMemory> memory_;            // what the ledger has of the points
    std::unique_ptr<SimulatedLinks> simulated_;  // by the master of time; of it and home_ one
    std::unique_ptr<SimulatedHome> home_;
    std::unique_ptr<Keeper> keeper_;
    std::unique_ptr<Server> server_;
    std::unique_ptr<Alarm> alive_;   // tells the service manager that the loop turns
    std::unique_ptr<Alarm> minute_;  // says what the log withheld, and keeps the zone known
    std::optional<BootTime> zone_renewed_;
};

}  // namespace lullwatt::daemon
