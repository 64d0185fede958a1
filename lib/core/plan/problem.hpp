// What the planner is asked for one car: slots with their price and the most each may carry, and the need.
//
// Plain values; safe to read from any thread. Everything that depends on a site, a tariff or a forecast has
// been settled before: the solver sees numbers and hands their reasons back.
#pragma once

#include <cstdint>
#include <vector>

#include "core/quantity/money.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::plan {

// Why a slot may carry no more than it may.
enum class BoundKind : std::uint8_t {
    installer_setting,  // the point's hard setting
    receptacle,         // 80 % of a receptacle
    car,                // the car takes no more
    headroom,           // limit − forecast of `node`, `leg`
    lease,  // rating − worst load of `node`, `leg`: what a lost link may leave flowing (design §7)
    hold,   // the household said no charging
};

struct Bound {
    BoundKind kind = BoundKind::installer_setting;
    int node = -1;  // index into Site::nodes, where one binds
    int leg = -1;   // 0, 1, 2
    friend bool operator==(const Bound&, const Bound&) = default;
};

struct Slot {
    Interval when;
    Rate price;      // what one more kilowatt-hour costs, tax included; may be negative
    WholeAmps most;  // headroom for this car; below `least` the slot can only be off
    Bound bound;     // what keeps `most` from being greater
};

enum class Preference : std::uint8_t { early, late, gentle };

enum class Manner : std::uint8_t {
    driven,     // any pattern: 0 or `least`..`most` without `missing` in every slot
    one_block,  // set by hand: one start, one current
};

struct Problem {
    std::vector<Slot> slots;  // ascending, contiguous; begin and end on whole minutes
    Watts per_ampere;         // REQUIRES: a whole number of watts, above 0
    WholeAmps least = WholeAmps(6);
    // The current no slot can carry, although it lies between two that it can. REQUIRES: `least` above 1 A.
    WholeAmps missing = kNotOnThePilot;
    MilliwattHours need;   // at the equipment's register, by the end of the last slot
    MilliwattHours floor;  // of it, charged at once before money counts; at most `need`
    Money start_cost;      // not negative
    Preference preference = Preference::early;
    Manner manner = Manner::driven;
};

}  // namespace lullwatt::plan
