// The bound on a joint plan's cost where solve() is all that knows its cars: shared rows are priced at
// multipliers, and each car is planned alone at its prices and a surcharge, a whole Rate.
//
// A multiplier µ is money for an ampere through a kilowatt-hour's worth of its watts: the Rate × watts of one
// row in one slot. A car of w watts an ampere is charged s = ⌊Σ µ of its rows ÷ w⌋ or less. Then for every
// plan that keeps the rows
//   Σ over cars of s × energy <= Σ µ × amperes × time <= Σ µ × capacity × time,
// for no car counts more energy than w × the amperes it is offered × time. So
//   Σ over cars of (its least cost at price + s) − Σ µ × capacity × time
// is not above what any of them costs: whole numbers throughout, and the only rounding is downwards.
#pragma once

#include <optional>
#include <vector>

#include "core/plan/joint_draft.hpp"
#include "core/plan/joint_multipliers.hpp"
#include "core/plan/joint_price.hpp"

namespace lullwatt::plan {

class AnyAscent {
  public:
    // For plans that charge `floors` at least, leave each car no shorter than `like`, and no more above its
    // cap. `alone`: the best plan of each car by itself beside the others' floors. REQUIRES: `solver`
    // outlives this.
    AnyAscent(const JointProblem& problem, const Draft& floors, const Draft& alone, const Draft& like,
              const MixedSolver& solver);

    // One step towards `aim`, a cost that is known to be reachable; the first begins where nothing is
    // charged.
    void climb(ExactAmount aim, Work& work);
    [[nodiscard]] bool stuck() const { return multipliers_.stuck(); }
    // The greatest bound seen, in thirds of 1e-18. Empty: none yet, or none holds, for `like`
    // charges less than `floors`, a car with a floor has a cap, or one is shorter than by itself while a
    // price is below nothing.
    [[nodiscard]] std::optional<Wide> bound() const;
    // Adds to a car's prices its surcharge at the multipliers of the greatest bound × `share`.
    void charge(Problem& problem, std::size_t car, double share) const;

  private:
    struct Answer {
        std::vector<Rate> prices;
        Wide least = 0;  // thirds of 1e-18, surcharges included
        std::vector<int> amps;
    };
    void charge_at(Problem& problem, std::size_t car, const Multipliers::ByRow& at, double share) const;
    void answer(std::size_t car, Work& work);

    const MixedSolver& solver_;
    std::vector<Problem> asked_;
    JointGrid grid_;  // of cars without what sets them apart: its rows are priced
    Multipliers multipliers_;
    std::vector<Answer> answers_;  // to the last prices
    int climbs_ = 0;
    bool holds_;
};

// What one solve of this car takes of a budget of pricings.
[[nodiscard]] std::int64_t pricings_of(const Problem& problem);

}  // namespace lullwatt::plan
