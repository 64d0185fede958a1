// A driven car's problem in whole numbers: what the exact solver sees.
//
// Energy counts in units of one ampere × the greatest common length of the usable slots. Money, starts and
// preference are one number, so that one comparison settles all three in their order:
//     cost = money × per_money + starts × per_start + Σ units × position,
// where a plan's preference stays below per_start and its starts × per_start + preference below per_money.
// Money is in steps of the greatest common divisor of every unit price and the start cost. position is the
// slot's distance from the first slot (early) or from the last (late).
//
// A value; safe to read from any thread.
#pragma once

#include <cstdint>
#include <vector>

#include "core/plan/problem.hpp"
#include "core/quantity/wide.hpp"

namespace lullwatt::plan {

struct GridSlot {
    int lo = 0;  // amperes when charging, lo..hi; hi is 0 where the slot can only be off
    int hi = 0;
    int missing = 0;       // the one between lo and hi that does not exist; 0: all do
    int weight = 0;        // units one ampere brings
    bool may_rest = true;  // false while the floor is being charged
    Wide cost = 0;         // of one unit
};

struct Grid {
    std::vector<GridSlot> slots;
    std::int64_t need = 0;   // units, the least that must be in
    std::int64_t limit = 0;  // units, the most that may be: need + the least of the longest usable slot − 1
    Wide start = 0;          // cost of one start
    Wide per_start = 1;
    Wide per_money = 1;
    Wide thirds_per_money = 1;  // of 1e-18 of the currency
    Wide unit_thirds = 1;       // of a milliwatt-hour that one unit is
    std::int64_t minutes_per_unit = 1;

    // Everything before the preference: what `gentle` must not worsen.
    [[nodiscard]] Wide money_and_starts(Wide cost) const;
    // The money alone, in thirds of 1e-18.
    [[nodiscard]] Wide money_thirds(Wide cost) const;
};

// Slots a floor claims: below `full` the car charges at `most` where it can; slot `full` takes `reach` or
// more.
struct FloorSlots {
    std::size_t full = 0;  // index of the slot that reaches the floor; 0 with reach 0: no floor
    WholeAmps reach;       // least whole amperes, not below `least`, that reach it there
    [[nodiscard]] bool holds(std::size_t slot) const { return reach > WholeAmps() && slot <= full; }
};

// REQUIRES: the usable slots from `first` on carry the floor.
[[nodiscard]] FloorSlots floor_slots(const Problem& problem, std::size_t first = 0);

// The same from the first slot; no floor where the usable slots do not carry it.
[[nodiscard]] FloorSlots reachable_floor(const Problem& problem);

// REQUIRES: what problem.hpp asks; need above 0. A floor the usable slots do not carry is none. `cap`: no
// slot above it, but for the floor's. Preference::gentle counts as early.
[[nodiscard]] Grid make_grid(const Problem& problem, WholeAmps cap);

}  // namespace lullwatt::plan
