// Plans of many cars out of columns: when cars charge is fixed, the surest first, and then anew for a few of
// them at a time as long as that finds cheaper plans.
//
// Pure but for the caller's `stop` and solver. Deterministic: its chances come from a fixed seed.
#pragma once

#include <optional>
#include <random>

#include "core/plan/joint_columns.hpp"

namespace lullwatt::plan {

class Dive {
  public:
    // REQUIRES: solver.growing; `ascent` has made a step; all outlive this.
    Dive(const JointGrid& grid, const std::vector<std::int64_t>& targets, Ascent& ascent,
         const MixedSolver& solver);

    // Raises the bound of `ascent` as far as columns do; the plan that fixing all cars ends with, where it
    // ends with one.
    [[nodiscard]] std::optional<JointAmps> first(Work& work);
    // Fixes some cars anew, the others charge when they do in `best`: a cheaper plan, where that ends with
    // one. REQUIRES: first() has been called; best is feasible.
    [[nodiscard]] std::optional<JointAmps> again(const JointAmps& best, Work& work);

  private:
    // Fixes all cars that are not, as long as the optimum stays below `most`; whether it came to the end.
    bool fix_rest(double most, bool by_chance, Work& work);
    bool release_for_room(Work& work);
    [[nodiscard]] std::size_t left_to_fix() const;
    [[nodiscard]] std::vector<std::size_t> to_fix_anew(const JointAmps& best);

    const JointGrid& grid_;
    const std::vector<std::int64_t>& targets_;
    Ascent& ascent_;
    Columns columns_;
    std::mt19937_64 engine_{20'240'301};  // any fixed seed
};

}  // namespace lullwatt::plan
