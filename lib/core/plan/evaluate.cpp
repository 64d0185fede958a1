#include "core/plan/evaluate.hpp"

#include <algorithm>

#include "core/plan/reasons.hpp"

namespace lullwatt::plan {
namespace {

// Σ ampere-minutes × distance of the slot from the first (early) or the last (late); gentle puts the greatest
// current before it.
std::int64_t preference_of(const Problem& problem, const std::vector<int>& amps) {
    const std::size_t count = amps.size();
    std::int64_t sum = 0;
    int most = 0;
    for (std::size_t t = 0; t < count; ++t) {
        const std::size_t position = problem.preference == Preference::late ? count - 1 - t : t;
        sum += amps[t] * minutes(problem.slots[t]) * static_cast<std::int64_t>(position);
        most = std::max(most, amps[t]);
    }
    constexpr std::int64_t kAboveAnySum = std::int64_t{1} << 40;
    return problem.preference == Preference::gentle ? most * kAboveAnySum + sum : sum;
}

}  // namespace

Tally tally(const Problem& problem, const std::vector<int>& amps) {
    Tally sum;
    bool on = false;
    for (std::size_t t = 0; t < amps.size(); ++t) {
        const Wide energy =
            static_cast<Wide>(amps[t]) * minutes(problem.slots[t]) * thirds_per_ampere_minute(problem);
        sum.energy += energy;
        sum.energy_cost += energy * problem.slots[t].price.count();
        sum.starts += !on && amps[t] > 0;
        on = amps[t] > 0;
    }
    return sum;
}

Objective objective_of(const Problem& problem, const Tally& tally) {
    const Wide missing = thirds(problem.need) - tally.energy;
    return {.short_by = missing > 0 ? MilliwattHours(-whole_energy(-missing)) : MilliwattHours{},
            .cost = whole_amount(tally.energy_cost + start_thirds(problem.start_cost) * tally.starts),
            .starts = tally.starts};
}

Wide most_energy(const Problem& problem, WholeAmps cap) {
    Wide sum = 0;
    for (const Slot& slot : problem.slots) {
        if (!usable(problem, slot)) continue;
        sum += static_cast<Wide>(std::min(slot.most, cap).count()) * minutes(slot) *
               thirds_per_ampere_minute(problem);
    }
    return sum;
}

Plan make_plan(const Problem& problem, const std::vector<int>& amps, Wide lower_bound) {
    const Tally sum = tally(problem, amps);
    Plan plan;
    plan.slots.resize(amps.size());
    for (std::size_t t = 0; t < amps.size(); ++t) plan.slots[t].amps = WholeAmps(amps[t]);
    plan.delivered = whole_energy(sum.energy);
    plan.objective = objective_of(problem, sum);
    plan.objective.preference = preference_of(problem, amps);
    plan.energy_cost = whole_amount(sum.energy_cost);
    plan.lower_bound = whole_amount(lower_bound);
    give_reasons(problem, plan);
    return plan;
}

}  // namespace lullwatt::plan
