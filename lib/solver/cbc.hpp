// The planner's solver of mixed-integer programmes: CBC of COIN-OR, one thread, silent.
//
// Stateless; calls may run at the same time on different threads only if CBC was built for it: call from one.
#pragma once

#include "core/plan/mixed_programme.hpp"

namespace lullwatt::solver {

[[nodiscard]] plan::MixedAnswer solve_with_cbc(const plan::MixedProgramme& programme,
                                               const plan::MixedEffort& effort);

}  // namespace lullwatt::solver
