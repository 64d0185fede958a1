// Why a slot is as it is, proven: the best plan that does otherwise there, and how much worse it is.
//
// Pure functions; call from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "core/plan/solve.hpp"

namespace lullwatt::plan {

// The best plan that charges in `slot` where `plan` does not, or rests there where it charges. Empty where
// no plan can: the slot cannot charge, or charging in it leaves no plan that ends in [need, need + one
// slot's least). REQUIRES: plan is solve(problem), slot one of its.
[[nodiscard]] std::optional<Plan> otherwise(const Problem& problem, const Plan& plan, std::size_t slot);

// Why `slot` is as it is, now that the best plan that does otherwise there is known: where the plan alone
// told no more than that nothing is saved, what that one is worse in tells whether a start or the preference
// decides. REQUIRES: `other` is the objective of otherwise(problem, plan, slot).
[[nodiscard]] Why proven_why(const Problem& problem, const Plan& plan, std::size_t slot,
                             const Objective& other);

// Whether anything could flow in the slot, were it asked to.
[[nodiscard]] bool can_charge(const Problem& problem, std::size_t slot);

// The nodes, ascending, that keep some slot from more: one in which the plan charges all that goes, or one
// that could else charge at all.
[[nodiscard]] std::vector<std::size_t> binding_nodes(const Problem& problem, const Plan& plan);

}  // namespace lullwatt::plan
