#include "core/plan/month_when.hpp"

#include <algorithm>
#include <cassert>
#include <map>
#include <utility>

#include "core/plan/evaluate.hpp"
#include "core/plan/explain.hpp"

namespace lullwatt::plan {
namespace {

void add_month(const Problem& problem, const MonthCosts& costs, MonthWhen& answer) {
    Plan& plan = answer.when.at_once;
    const std::vector<WholeAmps> drawn = drawn_of(plan);
    plan.month_cost = whole_amount(month_thirds(problem, costs, drawn));
    plan.objective.cost += plan.month_cost;
    for (const PeakCharge& charge : costs.peaks) {
        const Milliwatts peak = reached(charge, problem, drawn);
        answer.at_once.push_back({charge.free, peak, whole_amount(charge.added_thirds(peak))});
    }
}

std::size_t first_on(const Plan& plan) {
    const auto on =
        std::ranges::find_if(plan.slots, [](const PlannedSlot& slot) { return slot.amps > WholeAmps(0); });
    return on == plan.slots.end() ? 0 : static_cast<std::size_t>(on - plan.slots.begin());
}

}  // namespace

MonthPlan plugged_in_at(const Problem& problem, const MonthCosts& costs, std::size_t slot) {
    Problem later = problem;
    later.slots.erase(later.slots.begin(), later.slots.begin() + static_cast<std::ptrdiff_t>(slot));
    return solve_month(later, from_slot(costs, slot));
}

MonthWhen answer_when(const Problem& problem, const MonthCosts& costs, std::vector<std::size_t> asked) {
    assert(!problem.slots.empty() && !asked.empty() && asked.front() == 0);
    MonthWhen answer;
    answer.best = solve_month(problem, costs);
    if (costs.none()) {
        answer.when = answer_when(problem);
        return answer;
    }
    When& when = answer.when;
    when.best = answer.best.plan;
    when.at_once = charge_at_once(problem);
    add_month(problem, costs, answer);
    // What is short does not go by money.
    const std::vector<Objective> plain = solve_every_plug_in(problem);
    const Objective& now = when.best.objective;
    for (std::size_t slot = 0; slot < plain.size(); ++slot) {
        if (plain[slot].short_by <= now.short_by) when.latest_in_time = slot;
    }
    const bool floored = problem.floor > MilliwattHours{};
    const std::size_t waits_until = floored ? 0 : first_on(when.best);
    std::map<std::size_t, Objective> known{{0, now}};
    const auto objective = [&](std::size_t slot) -> const Objective& {
        if (slot <= waits_until) return now;  // the plan does nothing before
        const auto found = known.find(slot);
        if (found != known.end()) return found->second;
        return known.emplace(slot, plugged_in_at(problem, costs, slot).plan.objective).first->second;
    };
    const auto no_dearer = [&](std::size_t slot) { return no_worse(objective(slot), now); };
    if (!floored) {
        std::size_t low = waits_until;
        std::size_t high = when.latest_in_time + 1;
        while (high - low > 1) {
            const std::size_t middle = low + (high - low) / 2;
            (no_dearer(middle) ? low : high) = middle;
        }
        when.latest_cheapest = low;
        when.least_until = low;
    } else {
        bool as_cheap = true;
        std::size_t last = 0;
        for (const std::size_t slot : asked) {
            as_cheap = as_cheap && no_dearer(slot);
            if (as_cheap) when.latest_cheapest = slot;
            const auto order = dearness(objective(slot), objective(when.least_until));
            if (slot > when.latest_in_time || order > 0) continue;
            if (order < 0 || last != when.least_until) when.least_from = slot;
            when.least_until = slot;
            last = slot;
        }
    }
    asked.push_back(when.latest_cheapest);
    asked.push_back(when.latest_in_time);
    for (const std::size_t slot : asked) static_cast<void>(objective(slot));
    when.plug_in = plain;
    std::optional<Objective> behind;
    for (std::size_t slot = plain.size(); slot-- > 0;) {
        const auto found = known.find(slot);
        if (slot <= waits_until) {
            behind = now;
        } else if (found != known.end()) {
            behind = found->second;
        }
        if (behind) when.plug_in[slot] = *behind;
        when.plug_in[slot].short_by = plain[slot].short_by;
    }
    return answer;
}

std::optional<MonthPlan> otherwise(const Problem& problem, const MonthCosts& costs, const Plan& plan,
                                   std::size_t slot) {
    Problem other = problem;
    if (plan.slots[slot].amps > WholeAmps(0)) {
        other.slots[slot].most = WholeAmps(0);
        return solve_month(other, costs);
    }
    if (!can_charge(problem, slot)) return std::nullopt;
    other.forced = slot;
    MonthPlan found = solve_month(other, costs);
    if (found.plan.slots[slot].amps == WholeAmps(0)) return std::nullopt;
    return found;
}

}  // namespace lullwatt::plan
