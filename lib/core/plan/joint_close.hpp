// What gap bound and search leave is closed by a solver's tree, on what a cheaper plan can still do; before
// that, part by part of the night, cheaper plans are looked for, for they make the tree small.
//
// Pure but for the caller's `stop` and solver.
#pragma once

#include <optional>

#include "core/plan/joint_cost.hpp"
#include "core/plan/joint_model.hpp"
#include "core/plan/joint_search.hpp"

namespace lullwatt::plan {

// Whether a gap between steps of money counts as closed.
[[nodiscard]] bool closed(const JointGrid& grid, Wide money, Wide bound);

struct Asked {
    std::optional<JointAmps> amps;  // feasible, checked in whole numbers
    bool exhausted = false;         // nothing better exists
    double bound = -MixedProgramme::kUnbounded;
};
[[nodiscard]] Asked ask(const JointGrid& grid, const std::vector<std::int64_t>& targets,
                        const JointModel& model, const MixedSolver& solver, const MixedEffort& effort);

// Betters the plan of `search` and the bound of `found`. REQUIRES: a plan is known, and it is not proven.
void close_by_solver(const JointGrid& grid, const std::vector<std::int64_t>& targets, const Ascent& ascent,
                     Search& search, Cheapest& found, Work& work, const MixedSolver& solver);

}  // namespace lullwatt::plan
