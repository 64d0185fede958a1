// What a slot's current brings and costs, exactly.
//
// Pure functions; call from any thread.
#pragma once

#include <cstddef>

#include "core/plan/plan.hpp"

namespace lullwatt::plan {

// Energy cost of one slot at a current, rounded to 1e-18 of the currency.
[[nodiscard]] ExactAmount cost_of(const Problem& problem, const Slot& slot, WholeAmps amps);

// What slot `index` of a plan costs: all slots sum to its energy_cost. Only a block's last slot, in which the
// car itself stops, costs less than its current would. REQUIRES: index < plan.slots.size().
[[nodiscard]] ExactAmount cost_of(const Problem& problem, const Plan& plan, std::size_t index);

}  // namespace lullwatt::plan
