// The daemon's live state: the house as its settings say, what was told, what is planned, and what follows
// from it.
//
// Loop thread only. Long work goes to the worker, whose results come back through the loop; nothing here
// waits.
#pragma once

#include <cstddef>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "core/plan/plan.hpp"
#include "daemon/clock/trust.hpp"
#include "daemon/drive/driver.hpp"
#include "daemon/drive/sessions.hpp"
#include "daemon/keeper/house_night.hpp"
#include "daemon/log/log.hpp"
#include "daemon/loop/loop.hpp"
#include "daemon/planner/worker.hpp"
#include "daemon/ports/alarm.hpp"
#include "daemon/ports/equipment.hpp"
#include "daemon/ports/house_meter.hpp"
#include "daemon/ports/notifier.hpp"
#include "daemon/ports/store.hpp"
#include "daemon/wishes/wishes.hpp"
#include "io/household/household.hpp"

namespace lullwatt::daemon {

// A car's night as last planned.
struct PlannedNight {
    std::shared_ptr<const tools::Question> question;
    plan::Plan plan;
    Instant made;                    // the question's own time may be a little later: see From
    control::PointPlan driven = {};  // what the limiter was given
};

// What the keeper works with; all of it outlives the keeper.
struct KeeperPorts {
    Loop& loop;
    Worker& worker;
    const Clock& clock;
    Alarms& alarms;
    Notifier& notifier;
    Equipment& equipment;
    HouseMeters& meters;
    Store& store;
    std::function<void(const HouseholdPtr&)> relink;  // other settings are about to be in force
    Log log;
};

struct KeeperFiles {
    std::filesystem::path site;
    std::filesystem::path wishes;
    std::filesystem::path synchronized;
    std::filesystem::path ledger;
};

// What is known at the start.
struct KeeperBegin {
    HouseholdPtr household;
    Wishes wishes;
    std::vector<io::ledger::StoredTransaction> open;  // begun, and not ended, when the daemon stopped
    std::optional<Instant> last_recorded;
    std::vector<control::WritesSoFar> writes = {};  // per point; empty: none
    std::uint64_t seed = 1;
};

// No plan, hold or report asks for more of the civil clock before or after now.
constexpr date::days kAskedAround{366};

class Keeper {
  public:
    Keeper(KeeperPorts ports, KeeperFiles files, KeeperBegin begin);
    ~Keeper();
    Keeper(const Keeper&) = delete;
    Keeper& operator=(const Keeper&) = delete;

    // Plans for the first time and looks again from then on.
    void start();

    // Reads the site file anew, whole. Without a fault its settings are in force when `done` is called; with
    // any, those in force stay.
    void reload(const std::function<void(const io::Faults&)>& done);
    // The wall clock was set.
    void clock_stepped();

    // In force at once; `done` is called when it is on the disk, or with why it is not.
    void change_wishes(Wishes wishes, const std::function<void(std::optional<io::Fault>)>& done);

    // One line for the service manager.
    [[nodiscard]] std::string status() const;
    [[nodiscard]] const HouseholdPtr& household() const { return household_; }
    [[nodiscard]] const Wishes& wishes() const { return wishes_; }
    [[nodiscard]] Trust trust() const { return trust_; }
    [[nodiscard]] Moment now() const { return ports_.clock.now(); }
    // Whether the settings know the civil clock so long before and after now; not where it was set by years
    // since they were read.
    [[nodiscard]] bool knows_the_clock(Seconds around) const;
    // Empty until it is planned, and while the clock is unproven.
    [[nodiscard]] const std::optional<PlannedNight>& night(std::size_t car) const { return cars_[car].night; }
    [[nodiscard]] const Driver& driver() const { return driver_; }
    [[nodiscard]] const std::filesystem::path& ledger() const { return files_.ledger; }
    [[nodiscard]] std::string store_trouble() const { return ports_.store.trouble(); }
    // What its transaction has delivered so far; none: none is under way.
    [[nodiscard]] std::optional<WattHours> delivered(std::size_t car) const;
    // Of what the car is asked to get by its ready-by, what it has got.
    [[nodiscard]] WattHours done_of_need(std::size_t car) const;
    // The car that a point is for: of several on one cable the one a need was told for, else the first.
    [[nodiscard]] std::optional<std::size_t> car_at(std::size_t point) const;
    // Why there is none.
    [[nodiscard]] const io::Faults& faults(std::size_t car) const { return cars_[car].faults; }
    // What is asked for a car: what it was told, over what the site file says, with `asked` over both.
    [[nodiscard]] tools::QuestionOptions options_for(const std::string& car,
                                                     tools::QuestionOptions asked = {}) const;
    // Every car as it stands, in the order of the site file.
    [[nodiscard]] HouseAsked house_asked(From from) const;
    [[nodiscard]] plan::Hold hold_for(const std::string& car, Instant now) const;

  private:
    struct CarState {
        std::optional<PlannedNight> night;
        io::Faults faults;
    };
    // The newest plan asked for.
    struct Planning {
        unsigned generation = 0;
        std::optional<std::stop_source> under_way;
        bool again = false;  // something happened since it began
    };
    void take(io::Read<io::Household> read, const std::function<void(const io::Faults&)>& done);
    void point_changed(std::size_t point);
    void hold_points();
    void look();
    void look_at_clock(const Moment& now);
    void plan(From from);
    void planned(unsigned generation, From from, Instant made, io::Read<HouseNight> found);
    void take_house(From from, Instant made, HouseNight house);
    void take_night(std::size_t car, From from, PlannedNight night);
    void write_wishes_later(const std::function<void(std::optional<io::Fault>)>& done);

    KeeperPorts ports_;
    KeeperFiles files_;
    HouseholdPtr household_;
    Wishes wishes_;
    std::optional<Instant> last_recorded_;
    Trust trust_ = Trust::unproven;
    Sessions sessions_;
    Minutes minutes_;
    Events events_;
    Driver driver_;
    std::vector<CarState> cars_;
    Planning planning_;
    BootTime planned_at_{};
    std::unique_ptr<Alarm> look_again_;
    std::shared_ptr<bool> alive_ =
        std::make_shared<bool>(true);  // what comes back from the worker asks it first
};

}  // namespace lullwatt::daemon
