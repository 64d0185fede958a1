// What the planner is asked for one car: slots with their price and the most each may carry, and the need.
//
// Plain values; safe to read from any thread. Everything that depends on a site, a tariff or a forecast has
// been settled before: the solver sees numbers and hands their reasons back.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
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
    lease,      // rating − worst load of `node`, `leg`: what a lost link may leave flowing (design §7)
    hold,       // the household said no charging
    away,       // the car is not there
    granted,    // the power `node` is granted, less the house's
    peak,       // more would raise a peak of the month that is charged for
    unbalance,  // how much more cars may load `leg` of `node` than its others
    ceiling,    // an outside ceiling of those hours on `node`, `leg`, less the forecast
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
    // What the car has driven off since the first slot, counted as `need` is: its battery holds that much
    // less.
    MilliwattHours driven = {};
};

// From this much energy in its battery on, counted from the first slot as `need` is, the car takes no more
// than `most`.
struct TaperStep {
    MilliwattHours from;
    WholeAmps most;
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
    MilliwattHours need;   // at the equipment's register less `overhead`, by the end of the last slot
    MilliwattHours floor;  // of it, charged at once before money counts; at most `need`
    Money start_cost;      // not negative
    Preference preference = Preference::early;
    Manner manner = Manner::driven;
    // Lost as long as the car charges, whatever its current. REQUIRES: whole watts, not negative, at most
    // what `least` − 2 A take, so that one ampere more never brings more than the least does.
    Watts overhead = Watts(0);
    // Ascending. Where a step is below `least`, the car offered `least` takes the step; it takes nothing
    // where that would not even feed the overhead.
    std::vector<TaperStep> taper = {};
    // Whether the car goes on after a pause. If not, it charges in one run each time it is plugged in.
    bool wakes = true;
    // Whether the floor comes before all; else a car that does not wake leaves it for a run that brings more.
    bool floor_first = false;
    // Slots dearer than this carry only what would else be short, or what the floor claims.
    std::optional<Rate> price_cap = {};
    // A slot that must charge, to ask what it would cost; where no plan can, none is found. REQUIRES: usable.
    std::optional<std::size_t> forced = {};
};

}  // namespace lullwatt::plan
