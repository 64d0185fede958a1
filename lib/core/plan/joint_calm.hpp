// A joint plan with fewer changes of current, at the same cost.
//
// Pure; call from any thread.
#pragma once

#include "core/plan/joint_grid.hpp"

namespace lullwatt::plan {

// Slots that are alike for every car and row trade places, all cars' currents together, so that equal
// currents stand side by side. Never worse in money, then starts, then preference; energies stay as
// they are. The fewest changes there could be are not looked for. REQUIRES:
// grid = make_joint_grid(problem), `amps` feasible.
void calm(const JointProblem& problem, const JointGrid& grid, JointAmps& amps);

}  // namespace lullwatt::plan
