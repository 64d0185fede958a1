// A joint plan of cars of every kind: what they share is priced, and cars are put in one by one, each planned
// by solve() at its prices and surcharges on the room that is left.
//
// Pure but for the caller's `stop` and solver.
#pragma once

#include "core/plan/joint_together.hpp"

namespace lullwatt::plan {

[[nodiscard]] Settled plan_any(const JointProblem& problem, Work& work, const MixedSolver& solver);

}  // namespace lullwatt::plan
