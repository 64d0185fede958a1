// How much each car must be short: the least greatest share, then the least next greatest, and so on.
//
// Pure but for the caller's `stop` and solver.
#pragma once

#include "core/plan/joint_cost.hpp"

namespace lullwatt::plan {

struct Targets {
    std::vector<std::int64_t> units;  // per car: what it gets at least
    JointAmps amps;                   // a plan that meets them
    bool proven = true;               // nothing less short exists, compared as above
};

// `amps`: any feasible plan, the cars short by any amount.
[[nodiscard]] Targets least_short(const JointProblem& problem, const JointGrid& grid, JointAmps amps,
                                  Work& work, const MixedSolver& solver);

}  // namespace lullwatt::plan
