#include "core/plan/when.hpp"

#include <algorithm>
#include <cassert>

namespace lullwatt::plan {
namespace {

constexpr Seconds kStep{300};
constexpr MilliwattHours kNothing{};

// At once and at full current, whatever it costs; a car that does not wake gets what its first run brings.
Problem hurried(Problem problem) {
    problem.floor = problem.need;
    problem.price_cap = {};
    bool charged = false;
    bool paused = false;
    for (Slot& slot : problem.slots) {
        const bool charges = slot.most >= problem.least;
        paused |= charged && !charges && !problem.wakes;
        charged |= charges;
        if (paused) slot.most = WholeAmps(0);
    }
    return problem;
}

}  // namespace

When answer_when(const Problem& problem) {
    assert(!problem.slots.empty());
    When answer{
        .best = solve(problem), .at_once = solve(hurried(problem)), .plug_in = solve_every_plug_in(problem)};
    const Objective& now = answer.best.objective;
    bool no_dearer = true;
    for (std::size_t slot = 0; slot < answer.plug_in.size(); ++slot) {
        const Objective& then = answer.plug_in[slot];
        no_dearer = no_dearer && then.short_by <= now.short_by && then.cost <= now.cost;
        if (no_dearer) answer.latest_cheapest = slot;
        if (then.short_by > now.short_by) continue;
        answer.latest_in_time = slot;
        const ExactAmount least = answer.plug_in[answer.least_until].cost;
        const bool goes_on = then.cost == least && slot == answer.least_until + 1;
        if (then.cost > least) continue;
        if (!goes_on) answer.least_from = slot;
        answer.least_until = slot;
    }
    return answer;
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
