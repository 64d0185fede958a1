#include "core/plan/reasons.hpp"

#include <algorithm>

#include "core/plan/charging.hpp"
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

// The most each slot could carry after what the plan charges before it; 0 where nothing.
std::vector<WholeAmps> room(const Problem& problem, const Plan& plan) {
    std::vector<WholeAmps> found;
    Wide net = 0;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const WholeAmps taken = usable(problem, slot) ? drawn(problem, slot, slot.most, net) : WholeAmps(0);
        found.push_back(taken > WholeAmps(0) ? std::max(taken, problem.least) : taken);
        if (charges(plan, t)) net += net_of(problem, slot, plan.slots[t].drawn);
    }
    return found;
}

// The cheapest energy the plan leaves unused; none where every slot carries all it can.
std::optional<Rate> cheapest_left(const Problem& problem, const Plan& plan,
                                  const std::vector<WholeAmps>& room) {
    std::optional<Rate> left;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Rate price = problem.slots[t].price;
        if (plan.slots[t].amps < room[t]) left = std::min(left.value_or(price), price);
    }
    return left;
}

// Why a slot is off that could charge, in a plan that pays `dearest` at most.
Why why_spared(const Problem& problem, const Slot& slot, Rate dearest) {
    if (problem.manner == Manner::one_block) return Why::outside_block;
    if (dearer_than_cap(problem, slot)) return Why::above_cap;
    if (slot.price > dearest) return Why::dearer;
    if (!problem.wakes) return Why::would_not_wake;
    return slot.price < dearest ? Why::start_not_worth : Why::same_price_other;
}

}  // namespace

void give_reasons(const Problem& problem, Plan& plan) {
    const bool block = problem.manner == Manner::one_block;
    const FloorSlots floor = block ? FloorSlots{} : floor_slots(problem);
    plan.marginal_price = dearest_paid(problem, plan, floor);
    const auto most = room(problem, plan);
    const auto left = cheapest_left(problem, plan, most);
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        PlannedSlot& planned = plan.slots[t];
        if (charges(plan, t)) {
            if (floor.holds(t)) {
                planned.why = Why::floor;
            } else if (most[t] < slot.most && planned.amps == most[t]) {
                planned.why = Why::tapers;
            } else if (!left) {
                planned.why = Why::no_choice;
            } else if (!block && *left < slot.price) {
                planned.why = Why::bridges;
            } else {
                planned.why = planned.amps == slot.most ? Why::cheapest : Why::fills_the_rest;
            }
        } else if (!usable(problem, slot)) {
            planned.why = slot.bound.kind == BoundKind::away ? Why::away : Why::below_minimum;
        } else if (!plan.marginal_price) {
            planned.why = Why::needs_met;
        } else if (most[t] == WholeAmps(0)) {
            planned.why = Why::takes_no_more;
        } else {
            planned.why = why_spared(problem, slot, *plan.marginal_price);
        }
    }
}

}  // namespace lullwatt::plan
