// A driven car's problem in whole numbers: what the exact solver sees.
//
// Energy counts in units of one ampere × the greatest common length of the usable slots; with an overhead, of
// the greatest common divisor of an ampere's watts and the overhead's instead of one ampere. Money, starts
// and preference are one number, so that one comparison settles all three in their order:
//     cost = units above the price cap × per_above + money × per_money + starts × per_start
//            + Σ units × position,
// where a plan's preference stays below per_start and its starts × per_start + preference below per_money.
// Money is in steps of the greatest common divisor of every unit price and the start cost. position is the
// slot's distance from the first slot (early) or from the last (late); 0, and the preference left out, where
// one number would not hold all of it (fine units, long nights and prices with many digits together).
//
// A value; safe to read from any thread.
#pragma once

#include <algorithm>
#include <cstdint>
#include <limits>
#include <vector>

#include "core/plan/problem.hpp"
#include "core/quantity/wide.hpp"

namespace lullwatt::plan {

struct GridSlot {
    int lo = 0;  // amperes when charging, lo..hi; hi is 0 where the slot can only be off
    int hi = 0;
    int missing = 0;       // the one between lo and hi that does not exist; 0: all do
    int weight = 0;        // units one ampere brings
    int lost = 0;          // units of them that charging loses, whatever the current
    int grain = 1;         // units whose multiples these two are
    bool may_rest = true;  // false while the floor is being charged
    Wide cost = 0;         // of one unit at the register
};

struct Grid {
    std::vector<GridSlot> slots;
    std::int64_t need = 0;   // units, the least that must be in
    std::int64_t limit = 0;  // units, the most that may be: need + the least of longest_slot() − 1
    Wide start = 0;          // cost of one start
    Wide per_start = 1;
    Wide per_money = 1;
    Wide per_above = 0;         // 0: no slot is dearer than the price cap
    Wide thirds_per_money = 1;  // of 1e-18 of the currency
    Wide unit_thirds = 1;       // of a milliwatt-hour that one unit is
    std::int64_t minutes_per_unit = 1;

    // Units above the price cap, and the cost without them.
    [[nodiscard]] Wide units_above(Wide cost) const;
    [[nodiscard]] Wide within_cap(Wide cost) const { return cost - units_above(cost) * per_above; }
    // Everything before the preference: what `gentle` must not worsen.
    [[nodiscard]] Wide money_and_starts(Wide cost) const;
    // The money alone, in thirds of 1e-18.
    [[nodiscard]] Wide money_thirds(Wide cost) const;
};

// Slots a floor claims: below `full` the car charges at `most` where it can; slot `full` takes `reach` or
// more.
struct FloorSlots {
    std::size_t full = 0;           // index of the slot that reaches the floor; 0 with reach 0: no floor
    WholeAmps reach;                // least whole amperes, not below `least`, that reach it there
    std::vector<std::size_t> idle;  // ascending; those before `full` in which the battery takes nothing
    [[nodiscard]] bool holds(std::size_t slot) const {
        return reach > WholeAmps() && slot <= full && !std::ranges::binary_search(idle, slot);
    }
};

// From slot `first` on. No floor where the slots do not carry it, or the car's first run of a presence does
// not and it does not wake.
[[nodiscard]] FloorSlots floor_slots(const Problem& problem, std::size_t first = 0);

// Minutes of the longest usable slot from `first` on; its least is how far a plan may go beyond the need.
[[nodiscard]] std::int64_t longest_slot(const Problem& problem, std::size_t first);

// Slots dearer than the price cap: taken where else something is short, or for the floor alone.
enum class AboveCap : std::uint8_t { allowed, refused };

inline constexpr WholeAmps kNoCap(std::numeric_limits<int>::max());

// REQUIRES: what problem.hpp asks; need above 0. A floor the usable slots do not carry is none. `cap`: no
// slot above it, but for the floor's. Preference::gentle counts as early.
[[nodiscard]] Grid make_grid(const Problem& problem, WholeAmps cap, AboveCap above_cap = AboveCap::allowed);

// The same without the preference, in smaller numbers. REQUIRES: grid = make_grid(problem, …) with slots
// above the cap allowed.
[[nodiscard]] Grid without_preference(const Problem& problem, Grid grid);

// Above every sum of costs along a plan, and every step that is added to what does not exist.
[[nodiscard]] Wide greatest_sum(const Grid& grid);

}  // namespace lullwatt::plan
