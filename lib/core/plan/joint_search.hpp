// The search for good joint plans: cars are put in one after the other, each exactly on the room the others
// leave, taken out again in groups and put back in other orders and at other surcharges.
//
// Deterministic: its chances come from a fixed seed.
#pragma once

#include <optional>
#include <random>
#include <vector>

#include "core/plan/joint_bound.hpp"

namespace lullwatt::plan {

class Search {
  public:
    // REQUIRES: grid, targets and ascent outlive this.
    Search(const JointGrid& grid, const std::vector<std::int64_t>& targets, const Ascent& ascent);

    // Tries to build a plan from nothing, or to better one by a ruin and a repair.
    void step(Work& work);
    // Takes a plan found elsewhere. REQUIRES: feasible.
    void offer(JointAmps amps, Work& work);

    // The cheapest so far; empty while none is known.
    [[nodiscard]] const std::optional<JointAmps>& best() const { return best_; }
    [[nodiscard]] Wide cost() const { return cost_; }

  private:
    [[nodiscard]] std::size_t chance(std::size_t count) { return engine_() % count; }
    [[nodiscard]] std::vector<std::size_t> shuffled();
    // Puts cars in, in this order; false where one does not fit.
    bool insert(JointAmps& amps, const std::vector<std::size_t>& order, double share, Work& work);
    void polish(JointAmps& amps, Work& work);
    void keep(JointAmps amps);

    const JointGrid& grid_;
    const std::vector<std::int64_t>& targets_;
    const Ascent& ascent_;
    std::mt19937_64 engine_{20'240'229};  // any fixed seed
    std::vector<std::size_t> order_;      // of building; a car that did not fit moves to the front
    JointAmps forced_;                    // what floors force, nothing else
    std::optional<JointAmps> best_, current_;
    Wide cost_ = 0;
    Wide current_cost_ = 0;
    std::int64_t steps_ = 0;
};

}  // namespace lullwatt::plan
