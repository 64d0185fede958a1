// The whole programme over (slot, energy, mode) by one backward pass: exact for cars that the search of
// programme.hpp does not know, with a taper, an overhead, a price cap, or no waking after a pause.
//
// Pure functions; call from any thread.
#pragma once

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

// The cost of the best plan for a plug-in at the begin of every slot, floors aside; empty where none brings
// the need.
[[nodiscard]] std::vector<std::optional<Wide>> value_by_table(const Problem& problem, const Grid& grid);

}  // namespace lullwatt::plan
