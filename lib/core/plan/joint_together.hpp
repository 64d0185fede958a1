// A joint plan of cars that the joint programme knows: targets, bound, search and solver, one after another.
//
// Pure but for the caller's `stop` and solver.
#pragma once

#include "core/plan/joint_cost.hpp"

namespace lullwatt::plan {

struct Settled {
    JointAmps amps;
    bool shortfalls_proven = true;
    std::optional<Wide> bound;  // thirds of 1e-18 of the currency; no plan that leaves each car as much
                                // short, and no more above its cap, costs less. Empty: none is known
    Proof proof = Proof::priced;
};

// REQUIRES: nothing sets any car apart.
[[nodiscard]] Settled plan_together(const JointProblem& problem, Work& work, const MixedSolver& solver);

}  // namespace lullwatt::plan
