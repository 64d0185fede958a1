// The exact dynamic programme over (slot, energy delivered, off or on), kept to the states that can still be
// part of a best plan.
//
// Pure functions; call from any thread.
#pragma once

#include <vector>

#include "core/plan/grid.hpp"

namespace lullwatt::plan {

struct GridPlan {
    std::vector<int> amps;  // one per slot
    Wide cost = 0;  // the least there is, as the Lagrangian bound + the least regret of any feasible plan
};

// REQUIRES: grid.need above 0 and carried by the slots.
[[nodiscard]] GridPlan best_plan(const Grid& grid);

}  // namespace lullwatt::plan
