#include "core/plan/joint.hpp"

#include <algorithm>
#include <cmath>

#include "core/plan/evaluate.hpp"
#include "core/plan/joint_any.hpp"
#include "core/plan/joint_bound.hpp"
#include "core/plan/joint_draft.hpp"
#include "core/plan/joint_rest.hpp"
#include "core/plan/solve.hpp"

namespace lullwatt::plan {
namespace {

CarPlan car_plan(const Problem& rest, const std::vector<int>& amps) {
    const Plan alone = make_plan(rest, amps, 0);
    return {.slots = alone.slots,
            .delivered = alone.delivered,
            .short_by = {alone.objective.short_by, rest.need},
            .above_cap = alone.objective.above_cap,
            .energy_cost = alone.energy_cost,
            .cost = alone.objective.cost,
            .starts = alone.objective.starts};
}

JointAmps amps_of(const JointPlan& plan) {
    JointAmps amps;
    for (const CarPlan& car : plan.cars) {
        amps.emplace_back();
        for (const PlannedSlot& slot : car.slots) amps.back().push_back(slot.amps.count());
    }
    return amps;
}

// A car that charges gently does so on the room the others leave it, where that costs neither money nor
// starts; again where another of them left it more.
void go_gently(const JointProblem& problem, JointAmps& amps, const Work& work) {
    bool changed = true;
    for (std::size_t round = 0; changed && round <= amps.size(); ++round) {
        changed = false;
        for (std::size_t i = 0; i < amps.size(); ++i) {
            if (problem.cars[i].preference != Preference::gentle) continue;
            if (amps.size() > kManyCars && work.stopped()) return;
            const Problem rest = rest_of(problem, amps, i);
            const Objective before = make_plan(rest, amps[i], 0).objective;
            const Plan gentle = solve(rest);
            if (gentle.objective.short_by != before.short_by || gentle.objective >= before) continue;
            amps[i] = offered(gentle);
            changed = true;
        }
    }
}

bool within(Interval slot, Interval present) {
    return present.begin <= slot.begin && slot.end <= present.end;
}

}  // namespace

std::strong_ordering operator<=>(const Shortfall& a, const Shortfall& b) {
    const Wide one = Wide{a.missing.count()} * std::max<std::int64_t>(b.need.count(), 1);
    const Wide other = Wide{b.missing.count()} * std::max<std::int64_t>(a.need.count(), 1);
    return one < other   ? std::strong_ordering::less
           : one > other ? std::strong_ordering::greater
                         : std::strong_ordering::equal;
}

std::optional<double> JointPlan::gap() const {
    if (!lower_bound) return std::nullopt;
    const auto amount = [](ExactAmount exact) { return static_cast<double>(exact.atto()) / 1e18; };
    return std::max(0.0, amount(cost - *lower_bound)) / std::max(std::abs(amount(cost)), 0.01);
}

JointPlan solve_joint(const JointProblem& problem, const Budget& budget, const MixedSolver& solver) {
    Work work(budget);
    JointPlan plan;
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        if (const auto apart = what_sets_apart(problem, i)) plan.apart.push_back({i, *apart});
    }
    Settled settled =
        plan.apart.empty() ? plan_together(problem, work, solver) : plan_any(problem, work, solver);
    go_gently(problem, settled.amps, work);
    Wide thirds = 0;
    for (std::size_t i = 0; i < settled.amps.size(); ++i) {
        const Problem rest = rest_of(problem, settled.amps, i);
        plan.cars.push_back(car_plan(rest, settled.amps[i]));
        plan.shortfalls.push_back(plan.cars.back().short_by);
        plan.above_cap += plan.cars.back().above_cap;
        plan.starts += plan.cars.back().starts;
        const Tally sum = tally(rest, settled.amps[i]);
        thirds += sum.energy_cost + start_thirds(rest.start_cost) * sum.starts;
    }
    std::ranges::sort(plan.shortfalls, std::greater<>{});
    const bool nothing_short = plan.shortfalls.empty() || plan.shortfalls.front().missing <= MilliwattHours{};
    plan.shortfalls_proven = settled.shortfalls_proven || nothing_short;
    plan.cost = whole_amount(thirds);
    if (settled.bound) plan.lower_bound = whole_amount(*settled.bound);
    plan.proof = settled.proof;
    plan.pricings = work.used();
    return plan;
}

Beside beside(const JointProblem& problem, const JointPlan& plan, std::size_t car, Interval present) {
    const JointAmps amps = amps_of(plan);
    Beside out{rest_of(problem, amps, car), {}};
    std::vector<int> kept;
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        if (within(problem.slots[t], present)) kept.push_back(amps[car][t]);
    }
    std::erase_if(out.problem.slots, [&](const Slot& slot) { return !within(slot.when, present); });
    const Tally sum = tally(out.problem, kept);
    out.plan =
        make_plan(out.problem, kept, sum.energy_cost + start_thirds(out.problem.start_cost) * sum.starts);
    return out;
}

Problem left_for(const JointProblem& problem, std::size_t car, Interval present) {
    const JointAmps nothing(problem.cars.size(), std::vector<int>(problem.slots.size()));
    Problem left = rest_of(problem, nothing, car);
    std::erase_if(left.slots, [&](const Slot& slot) { return !within(slot.when, present); });
    return left;
}

}  // namespace lullwatt::plan
