// Re-checks a finished joint plan against its problem with arithmetic of its own; shares no code with the
// planner.
#pragma once

#include <string>
#include <vector>

#include "core/plan/joint.hpp"

namespace lullwatt::support {

// Everything that is wrong with the plan; empty when it is feasible and tells its own figures truly.
[[nodiscard]] std::vector<std::string> complaints(const plan::JointProblem& problem,
                                                  const plan::JointPlan& plan);

// Some row is full in some slot where one of its cars charges below its own most.
[[nodiscard]] bool headroom_binds(const plan::JointProblem& problem, const plan::JointPlan& plan);

}  // namespace lullwatt::support
