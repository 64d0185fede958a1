// One round of the law of design §7: who comes down, who may go up, and what keeps each from more.
//
// Pure function over plain values; call from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "core/control/decision.hpp"
#include "core/control/house_watch.hpp"
#include "core/control/wanted.hpp"

namespace lullwatt::control {

// A node as it is now.
struct NodeNow {
    const HouseWatch* watch = nullptr;  // null: no meter there
    bool stale = false;
    bool stale_for_long = false;
    Amps limit;            // with an outside ceiling, if that is lower
    bool ceiling = false;  // it is
    Amps rating;
    site::Legs legs;
    std::optional<Amps> unbalance = {};
    site::LegAmps worst{};       // house, in the hours of a lease of the usual length
    site::LegAmps worst_long{};  // in those of the longest
    std::array<HouseWatch::Verdict, 3> verdict{};
};

// The house left a point too little, until it goes on. By one sample above the rating, as of a motor that
// starts, that is no pause yet: it goes on after the calm time.
struct Stop {
    std::optional<BootTime> since;
    bool paused = false;
};

// A point as it is now.
struct PointNow {
    const site::Point* point = nullptr;
    std::vector<std::size_t> path;  // nodes from its circuit to the service
    site::Legs car_legs = {};       // the fewest its cars load
    bool commandable = false;       // it can be told something, and there is a car to tell
    WholeAmps offered;
    WholeAmps reserved;  // nobody else may have it
    WholeAmps standing;  // by hand: the installer's setting
    Wanted wanted;
    Milliseconds calm{};
    Stop stop;
    bool no_raise = false;    // the night's writes are spent
    bool last_write = false;  // one is left: it must be safe without us
};

struct Share {
    WholeAmps amps;
    std::vector<Reason> reasons;
    bool retreated = false;  // the house took amperes away
    bool raised = false;
    Stop stop;
};

// `order`: points by slack, the least first; the last yields first. One Share per point; of one that is not
// commandable, what it is taken to have.
[[nodiscard]] std::vector<Share> share(const std::vector<NodeNow>& nodes, const std::vector<PointNow>& points,
                                       const std::vector<std::size_t>& order, BootTime now,
                                       const LimiterOptions& options);

// What everybody on a leg of a node may draw without us: shares and reservations, or standing where that is
// more.
[[nodiscard]] Amps unattended_on(const std::vector<PointNow>& points, const std::vector<Share>& shares,
                                 std::size_t node, site::Leg leg);

}  // namespace lullwatt::control
