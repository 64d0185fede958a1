// What the planner is asked for several cars at once: common slots, each car's prices, limits and
// need, and the rows of headroom they share.
//
// Plain values; safe to read from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/plan/problem.hpp"

namespace lullwatt::plan {

struct CarSlot {
    Rate price;                  // of this car's meter, tax included; may be negative
    WholeAmps most;              // of the point and the car alone; 0 where the car is away
    Bound bound;                 // what keeps `most` from being greater
    MilliwattHours driven = {};  // as in Slot
};

struct JointCar {
    std::string name;
    std::vector<CarSlot> slots;  // one per slot of the problem; present in one window or several
    Watts per_ampere;            // REQUIRES: a whole number of watts, above 0
    WholeAmps least = WholeAmps(6);
    WholeAmps missing = kNotOnThePilot;  // as in Problem. REQUIRES: `least` above 1 A
    MilliwattHours need;                 // at the equipment's register, by the end of its last usable slot
    MilliwattHours floor;                // of it, charged at once before money counts; at most `need`
    Money start_cost;                    // not negative
    Preference preference = Preference::early;
    Manner manner = Manner::driven;
    Watts overhead = Watts(0);  // these four as in Problem
    std::vector<TaperStep> taper = {};
    bool wakes = true;
    bool floor_first = false;  // as in Problem
    std::optional<Rate> price_cap = {};
};

// One leg of one node: together the cars on it take no more than its capacity. A car loads every leg it is
// wired to with the same current: a split-phase car stands in two rows of a node, a three-phase car in three.
struct SharedRow {
    int node = -1;                         // index into Site::nodes
    int leg = -1;                          // 0, 1, 2; of power granted none
    BoundKind kind = BoundKind::headroom;  // headroom, lease, ceiling, unbalance, granted
    std::vector<WholeAmps> capacity;  // per slot, in whole amperes: limit − forecast; rating − worst load
    std::vector<std::size_t> cars;    // indices into JointProblem::cars, each at most once
};

struct JointProblem {
    std::vector<Interval> slots;  // ascending, contiguous; begin and end on whole minutes
    std::vector<JointCar> cars;   // names differ
    std::vector<SharedRow> rows;
};

}  // namespace lullwatt::plan
