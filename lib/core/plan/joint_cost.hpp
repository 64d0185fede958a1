// The cheapest joint plan for given targets: bound and search in turn, and a solver for what gap they leave.
//
// Pure but for the caller's `stop` and solver.
#pragma once

#include <optional>

#include "core/plan/joint_grid.hpp"
#include "core/plan/joint_price.hpp"

namespace lullwatt::plan {

struct Cheapest {
    std::optional<JointAmps> amps;  // empty: none was found
    Wide money_bound = 0;           // steps of money
    Proof proof = Proof::priced;
};

// `known`: a feasible plan, where there is one. Without any the search gives up early and the solver is not
// asked. REQUIRES: every car alone carries its target.
[[nodiscard]] Cheapest find_cheapest(const JointGrid& grid, const std::vector<std::int64_t>& targets,
                                     std::optional<JointAmps> known, Work& work, const MixedSolver& solver);

// Whether some joint plan meets the targets.
enum class Answer : std::uint8_t { yes, no, unknown };
struct Feasibility {
    Answer answer = Answer::unknown;
    JointAmps amps;  // where the answer is yes
};
[[nodiscard]] Feasibility find_any(const JointGrid& grid, const std::vector<std::int64_t>& targets,
                                   Work& work, const MixedSolver& solver);

}  // namespace lullwatt::plan
