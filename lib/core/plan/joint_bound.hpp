// The bound on a joint plan's cost: shared headroom is priced at multipliers instead of demanded, and each
// car is then planned alone, exactly.
//
// For any multipliers that are not negative, Σ over cars of the cheapest plan at price + multipliers, less
// Σ multiplier × capacity, is not above the cost of any joint plan: whole numbers throughout.
#pragma once

#include <optional>
#include <vector>

#include "core/plan/joint_grid.hpp"
#include "core/plan/joint_price.hpp"

namespace lullwatt::plan {

// Climbs towards the greatest bound by deflected subgradient steps.
class Ascent {
  public:
    // REQUIRES: every car alone carries its target; grid and targets outlive this.
    Ascent(const JointGrid& grid, const std::vector<std::int64_t>& targets);

    // Goes on from these multipliers, one per row and slot, not negative.
    void start_at(std::vector<std::vector<Wide>> multipliers);
    // One step towards `aim`, a cost that is known to be reachable or hoped for. Counts as pricings.
    void climb(Wide aim, Work& work);

    // The greatest bound seen; empty before the first step.
    [[nodiscard]] std::optional<Wide> bound() const { return bound_; }
    // Surcharge on one unit by slot for a car, at the multipliers of the greatest bound × `share`.
    [[nodiscard]] std::vector<Wide> surcharge(std::size_t car, double share) const;
    // The multipliers of the greatest bound.
    [[nodiscard]] const std::vector<std::vector<Wide>>& multipliers() const { return best_; }
    // Of the greatest bound, what each car's own plan costs with its surcharges.
    [[nodiscard]] const std::vector<Wide>& parts() const { return best_parts_; }
    // What the last step's cars would do, rows or not.
    [[nodiscard]] const JointAmps& wishes() const { return wishes_; }
    [[nodiscard]] bool stuck() const { return pace_ < 1e-4; }

  private:
    using ByRow = std::vector<std::vector<Wide>>;  // cost of a unit, by row and slot
    [[nodiscard]] std::vector<Wide> surcharge_at(const ByRow& at, std::size_t car) const;

    const JointGrid& grid_;
    const std::vector<std::int64_t>& targets_;
    ByRow at_, best_;
    std::vector<Wide> best_parts_;
    std::vector<std::vector<double>> direction_;
    std::vector<std::vector<int>> rooms_;
    JointAmps wishes_;
    std::optional<Wide> bound_;
    double pace_ = 1;
    int since_better_ = 0;
};

}  // namespace lullwatt::plan
