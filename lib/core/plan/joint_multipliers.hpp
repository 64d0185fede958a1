// Prices of what cars share, on their way to the greatest bound: deflected subgradient steps.
//
// Values; one thread at a time.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "core/quantity/wide.hpp"

namespace lullwatt::plan {

class Multipliers {
  public:
    using ByRow = std::vector<std::vector<Wide>>;  // by row and slot, not negative
    using Slopes = std::vector<std::vector<double>>;

    // All 0.
    Multipliers(std::size_t rows, std::size_t slots);

    // Goes on from these.
    void start_at(ByRow multipliers);
    // Takes the bound at at() and its slope in every multiplier, and moves on by a step that would raise it
    // by `distance`, were it straight. Whether it is the greatest so far.
    bool step(Wide bound, const Slopes& slopes, double distance);

    [[nodiscard]] const ByRow& at() const { return at_; }
    // Those of the greatest bound.
    [[nodiscard]] const ByRow& best() const { return best_; }
    // The greatest; empty before the first step.
    [[nodiscard]] std::optional<Wide> bound() const { return bound_; }
    [[nodiscard]] bool stuck() const { return pace_ < 1e-4; }

  private:
    void forget_direction();

    ByRow at_, best_;
    Slopes direction_;
    std::optional<Wide> bound_;
    double pace_ = 1;
    int since_better_ = 0;
};

}  // namespace lullwatt::plan
