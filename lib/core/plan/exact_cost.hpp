// What a slot's current brings and costs, exactly.
//
// Pure functions; call from any thread.
#pragma once

#include "core/plan/problem.hpp"

namespace lullwatt::plan {

// Energy cost of one slot at a current, rounded to 1e-18 of the currency.
[[nodiscard]] ExactAmount cost_of(const Problem& problem, const Slot& slot, WholeAmps amps);

}  // namespace lullwatt::plan
