// Several cars' problem as a mixed-integer programme, built from the JointProblem alone, for outside solvers.
//
// Amperes whole, on/off binary, a start variable per car and slot with Σ starts >= 1 per car. Money in
// ten-millionths of the currency, energy in ampere-minutes.
#pragma once

#include <vector>

#include "core/plan/joint.hpp"
#include "reference/plan/milp.hpp"

namespace lullwatt::reference {

// Least money, where no car may be more short than the given energy (one entry per car).
[[nodiscard]] Milp joint_milp(const plan::JointProblem& problem, const std::vector<MilliwattHours>& short_by);

// The least greatest share that any car is short: the last column's value.
[[nodiscard]] Milp joint_shortfall_milp(const plan::JointProblem& problem);

// What a solver's values cost, added up from their whole amperes.
[[nodiscard]] double joint_cost(const plan::JointProblem& problem, const std::vector<double>& values);

// The greatest share that any car is short at a solver's values.
[[nodiscard]] double joint_shortfall(const plan::JointProblem& problem, const std::vector<double>& values);

}  // namespace lullwatt::reference
