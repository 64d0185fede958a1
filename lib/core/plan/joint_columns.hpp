// Many cars: whole nights of each car are columns of a linear programme whose rows are the shared headroom;
// its prices ask each car for a better night until none has one. Then cars are fixed, the surest first.
//
// Pure but for the caller's `stop` and solver.
#pragma once

#include <optional>

#include "core/plan/joint_bound.hpp"
#include "core/plan/mixed_programme.hpp"

namespace lullwatt::plan {

// Raises the bound of `ascent` as far as the columns do; the plan that fixing them one after the other ends
// with, where it ends with one. REQUIRES: solver.growing; `ascent` has made a step.
[[nodiscard]] std::optional<JointAmps> plan_by_columns(const JointGrid& grid,
                                                       const std::vector<std::int64_t>& targets,
                                                       Ascent& ascent, Work& work, const MixedSolver& solver);

}  // namespace lullwatt::plan
