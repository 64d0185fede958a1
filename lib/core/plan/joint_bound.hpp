// The bound on a joint plan's cost: shared headroom is priced at multipliers instead of demanded, and each
// car is then planned alone, exactly.
//
// For any multipliers that are not negative, Σ over cars of the cheapest plan at price + multipliers, less
// Σ multiplier × capacity, is not above the cost of any joint plan: whole numbers throughout.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "core/plan/joint_grid.hpp"
#include "core/plan/joint_multipliers.hpp"
#include "core/plan/joint_price.hpp"

namespace lullwatt::plan {

// With no more cars than these the compact programme (joint_model.hpp) is small and its tree closes; with
// more, its relaxation alone is slow.
constexpr std::size_t kManyCars = 8;

// Climbs towards the greatest bound by deflected subgradient steps.
class Ascent {
  public:
    // REQUIRES: every car alone carries its target; grid and targets outlive this.
    Ascent(const JointGrid& grid, const std::vector<std::int64_t>& targets);

    // Goes on from these multipliers, one per row and slot, not negative.
    void start_at(Multipliers::ByRow multipliers) { multipliers_.start_at(std::move(multipliers)); }
    // One step towards `aim`, a cost that is known to be reachable or hoped for. Counts as pricings.
    void climb(Wide aim, Work& work);

    // The greatest bound seen; empty before the first step.
    [[nodiscard]] std::optional<Wide> bound() const { return multipliers_.bound(); }
    // Surcharge on one unit by slot for a car, at the multipliers of the greatest bound × `share`.
    [[nodiscard]] std::vector<Wide> surcharge(std::size_t car, double share) const;
    // Of the greatest bound, what each car's own plan costs with its surcharges.
    [[nodiscard]] const std::vector<Wide>& parts() const { return best_parts_; }
    // What the last step's cars would do, rows or not.
    [[nodiscard]] const JointAmps& wishes() const { return wishes_; }
    [[nodiscard]] bool stuck() const { return multipliers_.stuck(); }
    // Those of the greatest bound, cost of a unit.
    [[nodiscard]] const Multipliers::ByRow& multipliers() const { return multipliers_.best(); }

  private:
    [[nodiscard]] std::vector<Wide> surcharge_at(const Multipliers::ByRow& at, std::size_t car) const;

    const JointGrid& grid_;
    const std::vector<std::int64_t>& targets_;
    Multipliers multipliers_;
    std::vector<Wide> best_parts_;
    std::vector<std::vector<int>> rooms_;
    JointAmps wishes_;
};

}  // namespace lullwatt::plan
