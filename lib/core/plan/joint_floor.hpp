// Floors of several cars: what is charged at once, before money counts, where the cars share headroom.
//
// Pure functions; call from any thread.
#pragma once

#include "core/plan/joint_grid.hpp"

namespace lullwatt::plan {

// Slot by slot, cars whose floor is not in yet get their least in the order of the share of their floor that
// is missing (then by name), as far as headroom goes; what is left is dealt out ampere by ampere, again to
// the greatest share missing. Those slots are forced: lo and hi are what was dealt, but for a car's last one,
// whose hi stays. A slot in which a car was dealt nothing is left free.
void force_floors(JointGrid& grid, const JointProblem& problem);

}  // namespace lullwatt::plan
