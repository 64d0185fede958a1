// What a plan cheaper than the best known can still do in each slot: the rest is closed before a solver
// looks.
//
// Pure functions; call from any thread.
#pragma once

#include <vector>

#include "core/plan/joint_bound.hpp"

namespace lullwatt::plan {

// The grid without what the multipliers of the greatest bound rule out for plans that cost less than `cost`:
// charging, resting, or currents of a slot. Every such plan is a plan of the narrowed grid too.
[[nodiscard]] JointGrid narrowed(const JointGrid& grid, const std::vector<std::int64_t>& targets,
                                 const Ascent& ascent, Wide cost);

}  // namespace lullwatt::plan
