// Re-checks a joint plan of cars of every kind: the rows, and each car's figures by the tally of its
// currents.
#pragma once

#include <string>
#include <vector>

#include "core/plan/joint.hpp"
#include "core/plan/joint_grid.hpp"

namespace lullwatt::support {

[[nodiscard]] plan::JointAmps all_amps(const plan::JointPlan& plan);

// Everything that is wrong with the plan; empty when it is feasible and tells its own figures truly.
[[nodiscard]] std::vector<std::string> any_complaints(const plan::JointProblem& problem,
                                                      const plan::JointPlan& plan);

// A car gets what sets it apart: 0 a taper, 1 an overhead, 2 no waking, 3 a price cap, 4 a point
// set by hand; anything else nothing.
void set_apart(plan::JointCar& car, std::uint64_t kind, Rate cap);

}  // namespace lullwatt::support
