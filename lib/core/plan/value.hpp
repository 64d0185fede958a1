// The value function of a driven car: the least cost of every energy from every slot on, by one backward
// pass.
//
// Pure functions; call from any thread.
#pragma once

#include <vector>

#include "core/plan/plan.hpp"

namespace lullwatt::plan {

// The objective (shortfall, cost, starts) of the best plan for a plug-in at the begin of every slot.
[[nodiscard]] std::vector<Objective> value_every_plug_in(const Problem& problem);

}  // namespace lullwatt::plan
