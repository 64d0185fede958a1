#include "core/plan/reasons.hpp"

#include <algorithm>

#include "core/plan/exact.hpp"
#include "core/plan/grid.hpp"

namespace lullwatt::plan {
namespace {

bool charges(const Plan& plan, std::size_t t) { return plan.slots[t].amps > WholeAmps(0); }

// The dearest price paid outside the floor, which is charged whatever it costs; of the floor where there is
// no more.
std::optional<Rate> dearest_paid(const Problem& problem, const Plan& plan, const FloorSlots& floor) {
    std::optional<Rate> beyond;
    std::optional<Rate> any;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        if (!charges(plan, t)) continue;
        const Rate price = problem.slots[t].price;
        any = std::max(any.value_or(price), price);
        if (!floor.holds(t)) beyond = std::max(beyond.value_or(price), price);
    }
    return beyond ? beyond : any;
}

// Every usable slot carries its most.
bool all_used(const Problem& problem, const Plan& plan) {
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        if (usable(problem, problem.slots[t]) && plan.slots[t].amps < problem.slots[t].most) return false;
    }
    return true;
}

// The cheapest energy the plan leaves unused.
std::optional<Rate> cheapest_left(const Problem& problem, const Plan& plan) {
    std::optional<Rate> left;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        if (usable(problem, slot) && plan.slots[t].amps < slot.most)
            left = std::min(left.value_or(slot.price), slot.price);
    }
    return left;
}

}  // namespace

void give_reasons(const Problem& problem, Plan& plan) {
    const bool block = problem.manner == Manner::one_block;
    const FloorSlots floor = block ? FloorSlots{} : reachable_floor(problem);
    plan.marginal_price = dearest_paid(problem, plan, floor);
    const bool no_choice = all_used(problem, plan);
    const auto left = cheapest_left(problem, plan);
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        PlannedSlot& planned = plan.slots[t];
        if (charges(plan, t)) {
            if (floor.holds(t)) {
                planned.why = Why::floor;
            } else if (no_choice) {
                planned.why = Why::no_choice;
            } else if (!block && left && *left < slot.price) {
                planned.why = Why::bridges;
            } else {
                planned.why = planned.amps == slot.most ? Why::cheapest : Why::fills_the_rest;
            }
        } else if (!usable(problem, slot)) {
            planned.why = Why::below_minimum;
        } else if (!plan.marginal_price) {
            planned.why = Why::needs_met;
        } else if (block) {
            planned.why = Why::outside_block;
        } else if (slot.price > *plan.marginal_price) {
            planned.why = Why::dearer;
        } else {
            planned.why = slot.price < *plan.marginal_price ? Why::start_not_worth : Why::same_price_other;
        }
    }
}

}  // namespace lullwatt::plan
