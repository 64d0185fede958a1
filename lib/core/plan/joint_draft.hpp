// A joint plan on its way: each car's currents and what they come to, compared as whole plans are.
//
// Values and pure functions; call from any thread.
#pragma once

#include <vector>

#include "core/plan/joint.hpp"
#include "core/plan/joint_grid.hpp"

namespace lullwatt::plan {

struct Draft {
    JointAmps amps;
    std::vector<Objective> cars;  // what each car's currents come to by themselves

    [[nodiscard]] ExactAmount cost() const;
};

// Nobody charges.
[[nodiscard]] Draft empty_draft(const JointProblem& problem);

void set_car(Draft& draft, const JointProblem& problem, std::size_t car, std::vector<int> amps);
// The best plan there is on what the others leave, at the car's own prices.
void set_car(Draft& draft, std::size_t car, const Plan& plan);

// Shares that are short, the greatest first; energy above the caps; money; starts.
[[nodiscard]] bool better(const JointProblem& problem, const Draft& a, const Draft& b);

// Whether each car is as much short, and as much above its cap, in both.
[[nodiscard]] bool equally_good(const Draft& a, const Draft& b);

// Whether no car charges less in any slot of `a` than in `b`.
[[nodiscard]] bool at_least(const Draft& a, const Draft& b);

[[nodiscard]] std::vector<int> offered(const Plan& plan);

}  // namespace lullwatt::plan
