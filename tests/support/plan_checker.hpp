// Re-checks a finished plan against its problem with arithmetic of its own; shares no code with the planner.
#pragma once

#include <string>
#include <vector>

#include "core/plan/plan.hpp"

namespace lullwatt::support {

// Everything that is wrong with the plan; empty when it is feasible, tells its own figures truly and every
// slot's reason holds.
[[nodiscard]] std::vector<std::string> complaints(const plan::Problem& problem, const plan::Plan& plan);

}  // namespace lullwatt::support
