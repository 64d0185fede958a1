#include "core/plan/when.hpp"

#include <algorithm>
#include <cassert>
#include <cstdint>
#include <vector>

#include "core/plan/evaluate.hpp"

namespace lullwatt::plan {
namespace {

constexpr Seconds kStep{300};
constexpr MilliwattHours kNothing{};

Problem hurried(Problem problem) {
    problem.floor = problem.need;
    problem.price_cap = {};
    bool charged = false;
    bool paused = false;
    for (Slot& slot : problem.slots) {
        const bool charges = slot.most >= problem.least;
        if (slot.bound.kind == BoundKind::away) charged = paused = false;  // plugged in anew behind it
        paused |= charged && !charges && !problem.wakes;
        charged |= charges;
        if (paused) slot.most = WholeAmps(0);
    }
    return problem;
}

}  // namespace

Plan charge_at_once(const Problem& problem) {
    const Problem now = hurried(problem);
    if (now.manner != Manner::one_block) return solve(now);
    Problem soonest = now;
    soonest.preference = Preference::early;
    // Dearer from slot to slot, more current is cheaper.
    for (std::size_t t = 0; t < soonest.slots.size(); ++t)
        soonest.slots[t].price = Rate(static_cast<std::int64_t>(t));
    std::vector<int> amps;
    for (const PlannedSlot& slot : solve(soonest).slots) amps.push_back(slot.amps.count());
    const Tally sum = tally(now, amps);
    return make_plan(now, amps, sum.energy_cost + start_thirds(now.start_cost) * sum.starts);
}

bool no_worse(const Objective& then, const Objective& now) {
    return then.short_by <= now.short_by && then.above_cap <= now.above_cap && then.cost <= now.cost;
}

std::strong_ordering dearness(const Objective& a, const Objective& b) {
    const auto above = a.above_cap <=> b.above_cap;
    return above != 0 ? above : a.cost <=> b.cost;
}

When answer_when(const Problem& problem) {
    assert(!problem.slots.empty());
    When answer{
        .best = solve(problem), .at_once = charge_at_once(problem), .plug_in = solve_every_plug_in(problem)};
    const Objective& now = answer.best.objective;
    bool no_dearer = true;
    for (std::size_t slot = 0; slot < answer.plug_in.size(); ++slot) {
        if (problem.slots[slot].bound.kind == BoundKind::away) continue;  // nobody is there to plug it in
        const Objective& then = answer.plug_in[slot];
        no_dearer = no_dearer && no_worse(then, now);
        if (no_dearer) answer.latest_cheapest = slot;
        if (then.short_by > now.short_by) continue;
        answer.latest_in_time = slot;
        const auto order = dearness(then, answer.plug_in[answer.least_until]);
        const bool goes_on = order == 0 && slot == answer.least_until + 1;
        if (order > 0) continue;
        if (!goes_on) answer.least_from = slot;
        answer.least_until = slot;
    }
    return answer;
}

bool keeps_floor(const Problem& problem, const Plan& plan) {
    if (problem.manner == Manner::driven)
        return std::ranges::any_of(plan.slots,
                                   [](const PlannedSlot& slot) { return slot.why == Why::floor; });
    Problem at_once = problem;
    at_once.need = std::min(at_once.need, MilliwattHours(1));
    const Plan first = solve(at_once);
    return charging_span(problem, first) && charging_span(problem, plan) &&
           charging_span(problem, first)->begin == charging_span(problem, plan)->begin;
}

std::optional<Interval> charging_span(const Problem& problem, const Plan& plan) {
    std::optional<Interval> span;
    for (std::size_t slot = 0; slot < plan.slots.size(); ++slot) {
        if (plan.slots[slot].amps == WholeAmps(0)) continue;
        const Interval when = problem.slots[slot].when;
        span = span ? Interval{span->begin, when.end} : when;
    }
    return span;
}

WholeAmps greatest_current(const Plan& plan) {
    WholeAmps most;
    for (const PlannedSlot& slot : plan.slots) most = std::max(most, slot.amps);
    return most;
}

std::optional<Cure> cure_by_earlier_plug_in(const Rephrase& rephrase, Interval present, Instant earliest) {
    if (earliest >= present.begin) return std::nullopt;
    const auto longer = rephrase({earliest, present.end});
    if (!longer || longer->slots.empty()) return std::nullopt;
    const auto by_slot = solve_every_plug_in(*longer);
    for (std::size_t slot = by_slot.size(); slot-- > 0;) {
        if (by_slot[slot].short_by == kNothing) return Cure{longer->slots[slot].when.begin, by_slot[slot]};
    }
    return std::nullopt;
}

std::optional<Cure> cure_by_later_ready_by(const Rephrase& rephrase, Interval present, Instant latest) {
    const auto ready_by = [&](long steps) { return std::min(present.end + steps * kStep, latest); };
    const auto objective = [&](long steps) -> std::optional<Objective> {
        const auto longer = rephrase({present.begin, ready_by(steps)});
        if (!longer || longer->slots.empty()) return std::nullopt;
        return solve(*longer).objective;
    };
    long enough = (latest - present.end + kStep - Seconds{1}) / kStep;
    if (enough <= 0) return std::nullopt;
    auto best = objective(enough);
    if (!best || best->short_by > kNothing) return std::nullopt;
    // A later ready-by never leaves more short, so halving finds the first that leaves nothing.
    for (long too_early = 0; too_early + 1 < enough;) {
        const long middle = too_early + (enough - too_early) / 2;
        const auto tried = objective(middle);
        if (tried && tried->short_by == kNothing) {
            enough = middle;
            best = tried;
        } else {
            too_early = middle;
        }
    }
    return Cure{ready_by(enough), *best};
}

}  // namespace lullwatt::plan
