#include "core/plan/evaluate.hpp"

#include <algorithm>

#include "core/plan/charging.hpp"
#include "core/plan/grid.hpp"
#include "core/plan/reasons.hpp"

namespace lullwatt::plan {
namespace {

// Σ ampere-minutes × distance of the slot from the first (early) or the last (late); gentle puts
// `greatest` before it.
std::int64_t preference_of(const Problem& problem, const std::vector<WholeAmps>& drawn, int greatest) {
    const std::size_t count = drawn.size();
    std::int64_t sum = 0;
    for (std::size_t t = 0; t < count; ++t) {
        const std::size_t position = problem.preference == Preference::late ? count - 1 - t : t;
        sum += drawn[t].count() * minutes(problem.slots[t]) * static_cast<std::int64_t>(position);
    }
    constexpr std::int64_t kAboveAnySum = std::int64_t{1} << 40;
    return problem.preference == Preference::gentle ? greatest * kAboveAnySum + sum : sum;
}

}  // namespace

Tally tally(const Problem& problem, const std::vector<int>& amps) {
    Tally sum;
    bool on = false;
    for (std::size_t t = 0; t < amps.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const Intake taken = planned_intake(problem, slot, WholeAmps(amps[t]), sum.net);
        sum.energy += taken.energy;
        sum.net += taken.net;
        if (dearer_than_cap(problem, slot)) sum.above_cap += taken.energy;
        sum.energy_cost += taken.energy * slot.price.count();
        sum.drawn.push_back(taken.amps);
        sum.starts += !on && amps[t] > 0;
        on = amps[t] > 0;
    }
    return sum;
}

Objective objective_of(const Problem& problem, const Tally& tally) {
    const Wide missing = thirds(problem.need) - tally.net;
    return {.short_by = missing > 0 ? MilliwattHours(-whole_energy(-missing)) : MilliwattHours{},
            .above_cap = whole_energy(tally.above_cap),
            .cost = whole_amount(tally.energy_cost + start_thirds(problem.start_cost) * tally.starts),
            .starts = tally.starts};
}

Wide most_energy(const Problem& problem, WholeAmps cap) {
    Wide sum = 0;
    for (const Slot& slot : problem.slots) {
        if (!usable(problem, slot)) continue;
        sum += net_of(problem, slot, std::min(slot.most, cap));
    }
    return sum;
}

int greatest_beyond_floor(const Problem& problem, const std::vector<int>& amps) {
    const FloorSlots floor = floor_slots(problem);
    int greatest = 0;
    for (std::size_t t = 0; t < amps.size(); ++t) {
        const bool claimed = floor.holds(t) && (t < floor.full || amps[t] == floor.reach.count());
        if (!claimed) greatest = std::max(greatest, amps[t]);
    }
    return greatest;
}

std::vector<WholeAmps> drawn_of(const Plan& plan) {
    std::vector<WholeAmps> drawn;
    for (const PlannedSlot& slot : plan.slots) drawn.push_back(slot.drawn);
    return drawn;
}

Plan make_plan(const Problem& problem, const std::vector<int>& amps, Wide lower_bound) {
    const Tally sum = tally(problem, amps);
    Plan plan;
    plan.slots.resize(amps.size());
    for (std::size_t t = 0; t < amps.size(); ++t)
        plan.slots[t] = {.amps = WholeAmps(amps[t]), .drawn = sum.drawn[t]};
    plan.delivered = whole_energy(sum.energy);
    plan.lost = whole_energy(sum.energy - sum.net);
    plan.objective = objective_of(problem, sum);
    plan.objective.preference = preference_of(problem, sum.drawn, greatest_beyond_floor(problem, amps));
    plan.energy_cost = whole_amount(sum.energy_cost);
    plan.lower_bound = whole_amount(lower_bound);
    give_reasons(problem, plan);
    return plan;
}

}  // namespace lullwatt::plan
