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
    if (problem.taper.empty()) {
        for (const Slot& slot : problem.slots)
            found.push_back(usable(problem, slot) ? slot.most : WholeAmps(0));
        return found;
    }
    Wide net = 0;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const WholeAmps taken =
            usable(problem, slot) ? intake(problem, slot, slot.most, net).amps : WholeAmps(0);
        found.push_back(taken > WholeAmps(0) ? std::max(taken, problem.least) : taken);
        net += intake(problem, slot, plan.slots[t].amps, net).net;
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

// Of each slot whether slots of its own price lead to one that is charged, so that charging may move to it
// without another start.
std::vector<bool> joined(const Problem& problem, const Plan& plan) {
    const std::size_t count = plan.slots.size();
    std::vector<bool> found(count);
    const auto leads = [&](std::size_t from, std::size_t to) {
        return charges(plan, to) || (found[from] && usable(problem, problem.slots[to]) &&
                                     problem.slots[from].price == problem.slots[to].price);
    };
    for (std::size_t t = 0; t < count; ++t) found[t] = leads(t > 0 ? t - 1 : t, t);
    for (std::size_t t = count; t-- > 1;) found[t - 1] = found[t - 1] || leads(t, t - 1);
    return found;
}

// Why a slot is off that could charge, in a plan that pays `dearest` at most.
Why why_spared(const Problem& problem, std::size_t t, Rate dearest, bool joined) {
    const Slot& slot = problem.slots[t];
    if (problem.manner == Manner::one_block) return Why::outside_block;
    if (dearer_than_cap(problem, slot) && slot.price != dearest) return Why::above_cap;
    if (slot.price > dearest) return Why::dearer;
    if (slot.price == dearest) return joined ? Why::same_price_other : Why::apart;
    if (!problem.wakes) return Why::would_not_wake;
    return problem.overhead > Watts(0) ? Why::hours_not_worth : Why::start_not_worth;
}

// Why a slot charges in which the battery, or nothing, keeps the current from being greater.
Why why_charged(const Problem& problem, const Plan& plan, std::size_t t, std::optional<Rate> left,
                int greatest) {
    const Slot& slot = problem.slots[t];
    const PlannedSlot& planned = plan.slots[t];
    if (!left) return Why::no_choice;
    if (dearer_than_cap(problem, slot)) return Why::short_without;
    if (problem.manner == Manner::driven && *left < slot.price) return Why::bridges;
    if (planned.amps == slot.most) return Why::cheapest;
    const bool gentle = problem.preference == Preference::gentle && planned.amps == WholeAmps(greatest);
    return gentle ? Why::gentle : Why::fills_the_rest;
}

}  // namespace

void give_reasons(const Problem& problem, Plan& plan) {
    const bool block = problem.manner == Manner::one_block;
    const FloorSlots floor = block ? FloorSlots{} : floor_slots(problem);
    plan.marginal_price = dearest_paid(problem, plan, floor);
    const auto most = room(problem, plan);
    const auto left = cheapest_left(problem, plan, most);
    // Else the preference has filled the battery before, and could have waited.
    const std::vector<bool> together = joined(problem, plan);
    const bool is_due = floor.reach > WholeAmps(0) || plan.objective.short_by > MilliwattHours{};
    int greatest = 0;
    for (const PlannedSlot& slot : plan.slots) greatest = std::max(greatest, slot.amps.count());
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        PlannedSlot& planned = plan.slots[t];
        if (charges(plan, t)) {
            if (floor.holds(t)) {
                planned.why = Why::floor;
            } else if (most[t] < slot.most && planned.amps >= most[t]) {
                planned.why = Why::tapers;
            } else {
                planned.why = why_charged(problem, plan, t, left, greatest);
            }
        } else if (!usable(problem, slot)) {
            planned.why = slot.bound.kind == BoundKind::away ? Why::away : Why::below_minimum;
        } else if (!plan.marginal_price) {
            planned.why = Why::needs_met;
        } else if (most[t] == WholeAmps(0) && is_due) {
            planned.why = Why::takes_no_more;
        } else {
            planned.why = why_spared(problem, t, *plan.marginal_price, together[t]);
        }
    }
}

}  // namespace lullwatt::plan
