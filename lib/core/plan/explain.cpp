#include "core/plan/explain.hpp"

#include <algorithm>

#include "core/plan/exact.hpp"

namespace lullwatt::plan {

bool can_charge(const Problem& problem, std::size_t slot) {
    const Problem asked = settable(problem);
    return usable(asked, asked.slots[slot]);
}

std::optional<Plan> otherwise(const Problem& problem, const Plan& plan, std::size_t slot) {
    Problem other = problem;
    if (plan.slots[slot].amps > WholeAmps(0)) {
        other.slots[slot].most = WholeAmps(0);
        return solve(other);
    }
    if (!can_charge(problem, slot)) return std::nullopt;
    other.forced = slot;
    Plan found = solve(other);
    if (found.slots[slot].amps == WholeAmps(0)) return std::nullopt;
    return found;
}

Why proven_why(const Problem& problem, const Plan& plan, std::size_t slot, const Objective& other) {
    const Why why = plan.slots[slot].why;
    if (why != Why::saves_nothing && why != Why::no_better) return why;
    const Objective& best = plan.objective;
    if (other.short_by != best.short_by || other.above_cap != best.above_cap) return why;
    if (other.cost == best.cost && other.starts == best.starts)
        return why == Why::saves_nothing ? Why::same_price_other : why;
    const auto without_starts = [&](const Objective& objective) {
        return ExactAmount(objective.cost.atto() - start_thirds(problem.start_cost) / 3 * objective.starts);
    };
    if (other.starts <= best.starts || without_starts(other) >= without_starts(best)) return why;
    return why == Why::saves_nothing ? Why::start_not_worth : Why::bridges;
}

std::vector<std::size_t> binding_nodes(const Problem& problem, const Plan& plan) {
    std::vector<std::size_t> found;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const bool of_node = slot.bound.kind == BoundKind::headroom || slot.bound.kind == BoundKind::lease ||
                             slot.bound.kind == BoundKind::granted ||
                             slot.bound.kind == BoundKind::unbalance || slot.bound.kind == BoundKind::ceiling;
        const bool all_used = plan.slots[t].amps > WholeAmps(0) && plan.slots[t].amps == slot.most;
        const bool shut = slot.most < problem.least;
        if (of_node && (all_used || shut)) found.push_back(static_cast<std::size_t>(slot.bound.node));
    }
    std::ranges::sort(found);
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

}  // namespace lullwatt::plan
