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

// The car charges in the slots in which `like` does, and in no other.
void fix_pattern(JointGrid& grid, std::size_t car, const std::vector<int>& like);

// The cheapest amperes where it is fixed in which slots each car charges; empty where the solver finds none.
[[nodiscard]] std::optional<JointAmps> best_amps(const JointGrid& fixed,
                                                 const std::vector<std::int64_t>& targets, Work& work,
                                                 const MixedSolver& solver);

}  // namespace lullwatt::plan
