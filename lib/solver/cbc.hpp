// The planner's solver of mixed-integer programmes: CBC of COIN-OR, one thread, silent.
//
// Stateless; COIN-OR does not promise that two calls may run at the same time: call from one thread.
#pragma once

#include "core/plan/mixed_programme.hpp"

namespace lullwatt::solver {

[[nodiscard]] plan::MixedSolver cbc();

}  // namespace lullwatt::solver
