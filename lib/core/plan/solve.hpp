// The exact one-car planner.
//
// Pure functions, no shared state; call from any thread.
#pragma once

#include <vector>

#include "core/plan/plan.hpp"

namespace lullwatt::plan {

// The best plan by the ordered objective; always feasible, never relaxed (design §6).
[[nodiscard]] Plan solve(const Problem& problem);

// The objective of the best plan when the car is plugged in at the begin of slot k, for every k: the whole of
// `when` by one backward pass. Element k equals solve() on the problem that begins at slot k, in shortfall,
// cost and starts.
[[nodiscard]] std::vector<Objective> solve_every_plug_in(const Problem& problem);

}  // namespace lullwatt::plan
