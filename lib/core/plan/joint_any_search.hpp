// The search for good joint plans of cars of every kind: cars are put in one by one, each by solve() on the
// room the others leave, at several orders and surcharges, then each anew at its own prices.
//
// Deterministic: its chances come from a fixed seed.
#pragma once

#include <random>
#include <vector>

#include "core/plan/joint_any_bound.hpp"

namespace lullwatt::plan {

class AnySearch {
  public:
    // `floors`: what every plan charges at least. REQUIRES: both outlive this.
    AnySearch(const JointProblem& problem, const Draft& floors);

    // Takes a plan found elsewhere, each car made no worse; whether it is the best so far. REQUIRES:
    // feasible.
    bool offer(Draft draft, Work& work);
    // Cars short by much get more where others can be shorter by less.
    void even_out(Work& work);
    // Puts in all cars, or some, anew at the surcharges of `ascent`. Whether that gained.
    bool step(const AnyAscent& ascent, Work& work);

    [[nodiscard]] const Draft& best() const { return best_; }

  private:
    [[nodiscard]] std::vector<std::size_t> shuffled();
    void take_out(Draft& draft, std::size_t car) const;  // but for its floor
    // Each car anew on what the others leave, until none gains.
    void polish(Draft& draft, Work& work) const;
    // Whether each car fits with so much of its need, the first in the order first.
    [[nodiscard]] bool insert_parts(Draft& draft, double part, Work& work) const;

    const JointProblem& problem_;
    const Draft& floors_;
    std::mt19937_64 engine_{20'240'229};  // any fixed seed
    Draft best_;
    std::int64_t steps_ = 0;
};

}  // namespace lullwatt::plan
