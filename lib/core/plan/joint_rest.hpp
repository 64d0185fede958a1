// One car of a joint problem while the others keep to their currents, and what sets it apart from them.
//
// Pure functions; call from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "core/plan/joint.hpp"
#include "core/plan/joint_grid.hpp"

namespace lullwatt::plan {

// The car's own problem: `most` and its bound lowered to what the others' amperes leave.
[[nodiscard]] Problem rest_of(const JointProblem& problem, const JointAmps& amps, std::size_t car);

// Why the joint programme does not know the car; empty where it does.
[[nodiscard]] std::optional<Apart> what_sets_apart(const JointProblem& problem, std::size_t car);

// These cars alone, on what the amperes of all others leave; in the order of `cars`.
[[nodiscard]] JointProblem part_of(const JointProblem& problem, const std::vector<std::size_t>& cars,
                                   const JointAmps& amps);

}  // namespace lullwatt::plan
