// A household in lockstep: the limiter that the daemon runs, with a simulated house, meters, equipment and
// cars, a second at a time, and faults as data.
//
// One thread. Nothing here waits: the time is the world's own.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/control/limiter.hpp"
#include "core/rehearse/equipment.hpp"
#include "core/rehearse/excess.hpp"
#include "core/rehearse/house.hpp"

namespace lullwatt::rehearse {

enum class FaultKind : std::uint8_t {
    meter_silent,
    link_cut,            // of `point`; noticed after WorldSetup::cut_noticed_after
    daemon_dead,         // then built anew, knowing nothing
    suspended,           // the machine sleeps; boot time goes on
    equipment_restarts,  // of `point`, at `from`
    supply_out,          // house, meter and equipment without power
    wall_step,           // the wall clock is set by `by` at `from`
    clock_unproven,
};

// From `from` up to, not with, `to`; times count from the start.
struct Fault {
    FaultKind kind = FaultKind::meter_silent;
    Seconds from{0};
    Seconds to{0};
    std::size_t point = 0;
    Seconds by{0};
};

struct PointSetup {
    EquipmentTraits equipment;
    CarTraits car;
    control::PointPlan plan;
};

struct WorldSetup {
    control::LimiterSettings settings;
    std::vector<std::vector<LoadRun>> loads;  // per node: what hangs there and no deeper
    std::vector<PointSetup> points;
    std::vector<Fault> faults;
    Instant starts;                 // by the wall clock
    Seconds plan_after{2};          // the planner's first plan, from a start of the daemon
    Seconds cut_noticed_after{10};  // until a cut link is told to the limiter
    std::uint64_t seed = 1;
};

class World {
  public:
    explicit World(WorldSetup setup);

    // One second.
    void step();
    [[nodiscard]] Seconds now() const { return now_; }  // seconds stepped

    // As of the last second.
    [[nodiscard]] const site::LegAmps& total(std::size_t node) const { return nodes_[node].total; }
    [[nodiscard]] const site::LegAmps& house(std::size_t node) const { return nodes_[node].house; }
    [[nodiscard]] const Equipment& equipment(std::size_t point) const { return points_[point].equipment; }
    [[nodiscard]] const std::optional<control::Decision>& decision() const { return decision_; }  // its last
    [[nodiscard]] const control::Limiter* limiter() const { return limiter_ ? &*limiter_ : nullptr; }

    // So far. At the limit, and at the rating.
    [[nodiscard]] const Excess& at_limit(std::size_t node, site::Leg leg) const;
    [[nodiscard]] const Excess& at_rating(std::size_t node, site::Leg leg) const;

  private:
    struct NodeState {
        site::LegAmps house{};
        site::LegAmps total{};
        std::vector<Excess> limit;  // per leg
        std::vector<Excess> rating;
    };
    struct PointState {
        Equipment equipment;
        std::vector<std::size_t> path;
        std::optional<Seconds> cut_since = {};
        bool was_silent = false;  // cut or starting: it tells all when it is back
        bool restarted = false;
    };

    [[nodiscard]] const Fault* fault(FaultKind kind, std::size_t point = 0) const;
    [[nodiscard]] BootTime boot() const { return BootTime{std::chrono::hours{1} + now_}; }
    [[nodiscard]] Now clocks() const;
    void power();
    void measure();
    void daemon();
    void hear_equipment(std::size_t point);
    void hear_meters();
    void obey();

    WorldSetup setup_;
    Seconds now_{0};
    std::vector<NodeState> nodes_;
    std::vector<PointState> points_;
    std::optional<control::Limiter> limiter_;
    std::optional<control::Decision> decision_;
    Seconds daemon_since_{0};
};

}  // namespace lullwatt::rehearse
