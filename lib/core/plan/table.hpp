// The whole programme over (slot, energy, mode) by one backward pass: exact for cars that the search of
// programme.hpp does not know, with a taper, an overhead, a price cap, or no waking after a pause.
//
// Pure functions; call from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/plan/programme.hpp"

namespace lullwatt::plan {

// The best plan whose net energy lies in [grid.need, grid.limit]; empty where there is none.
// REQUIRES: grid of `problem`, grid.need above 0.
[[nodiscard]] std::optional<GridPlan> best_plan_by_table(const Problem& problem, const Grid& grid);

// The best of the plans that leave the least short of grid.need; empty where not even that can be, for a slot
// that must charge cannot. REQUIRES: none brings the need.
[[nodiscard]] std::optional<GridPlan> least_short_by_table(const Problem& problem, const Grid& grid);

// The best plan for a plug-in at the begin of a slot: units it lacks of the need, and its cost.
struct PlugIn {
    std::int64_t lacking = 0;
    Wide cost = 0;
};

// Of every slot, floors aside. REQUIRES: no slot must charge.
[[nodiscard]] std::vector<PlugIn> value_by_table(const Problem& problem, const Grid& grid);

}  // namespace lullwatt::plan
