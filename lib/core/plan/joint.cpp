#include "core/plan/joint.hpp"

#include <algorithm>
#include <cmath>

#include "core/plan/evaluate.hpp"
#include "core/plan/joint_cost.hpp"
#include "core/plan/joint_grid.hpp"
#include "core/plan/joint_short.hpp"
#include "core/plan/solve.hpp"

namespace lullwatt::plan {
namespace {

struct Found {
    std::vector<std::int64_t> targets;
    Cheapest cheapest;
    bool shortfalls_proven = true;
};

JointAmps forced_only(const JointGrid& grid) {
    JointAmps amps(grid.cars.size(), std::vector<int>(grid.slots()));
    for (std::size_t i = 0; i < amps.size(); ++i) {
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            const GridSlot& slot = grid.cars[i].slots[t];
            if (!slot.may_rest) amps[i][t] = slot.lo;
        }
    }
    return amps;
}

Found find(const JointProblem& problem, const JointGrid& grid, Work& work, const MixedSolver& solver) {
    Found found;
    bool each_fits = true;
    for (const JointGrid::Car& car : grid.cars) {
        found.targets.push_back(car.need);
        each_fits = each_fits && car.need <= car.most;
    }
    std::optional<JointAmps> known;
    if (each_fits) {
        found.cheapest = find_cheapest(grid, found.targets, {}, work, solver);
        if (found.cheapest.amps) return found;
        Feasibility any = find_any(grid, found.targets, work, solver);
        if (any.answer == Answer::yes) known = std::move(any.amps);
    }
    if (!known) {
        Targets least = least_short(problem, grid, forced_only(grid), work, solver);
        found.targets = std::move(least.units);
        found.shortfalls_proven = least.proven;
        known = std::move(least.amps);
    }
    found.cheapest = find_cheapest(grid, found.targets, std::move(known), work, solver);
    return found;
}

// One car's problem with `most` and its bound lowered to what the others leave.
Problem rest_of(const JointProblem& problem, const JointAmps& amps, std::size_t index) {
    const JointCar& car = problem.cars[index];
    Problem out{.per_ampere = car.per_ampere,
                .least = car.least,
                .missing = car.missing,
                .need = car.need,
                .floor = std::min(car.floor, car.need),
                .start_cost = car.start_cost,
                .preference = car.preference};
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const CarSlot& slot = car.slots[t];
        out.slots.push_back({problem.slots[t], slot.price, slot.most, slot.bound});
        for (const SharedRow& row : problem.rows) {
            if (std::ranges::find(row.cars, index) == row.cars.end()) continue;
            WholeAmps left = std::max(row.capacity[t], WholeAmps(0));
            for (const std::size_t other : row.cars) {
                if (other != index) left = left - WholeAmps(amps[other][t]);
            }
            if (left < out.slots.back().most) {
                out.slots.back().most = left;
                out.slots.back().bound = {row.kind, row.node, row.leg};
            }
        }
    }
    return settable(std::move(out));
}

CarPlan car_plan(const Problem& rest, const std::vector<int>& amps) {
    const Plan alone = make_plan(rest, amps, 0);
    return {.slots = alone.slots,
            .delivered = alone.delivered,
            .short_by = {alone.objective.short_by, rest.need},
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
// starts.
void go_gently(const JointProblem& problem, JointAmps& amps) {
    for (std::size_t i = 0; i < amps.size(); ++i) {
        if (problem.cars[i].preference != Preference::gentle) continue;
        const Problem rest = rest_of(problem, amps, i);
        const Objective before = make_plan(rest, amps[i], 0).objective;
        const Plan gentle = solve(rest);
        if (gentle.objective.short_by != before.short_by || gentle.objective > before) continue;
        for (std::size_t t = 0; t < amps[i].size(); ++t) amps[i][t] = gentle.slots[t].amps.count();
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

double JointPlan::gap() const {
    const auto amount = [](ExactAmount exact) { return static_cast<double>(exact.atto()) / 1e18; };
    return std::max(0.0, amount(cost - lower_bound)) / std::max(std::abs(amount(cost)), 0.01);
}

JointPlan solve_joint(const JointProblem& problem, const Budget& budget, const MixedSolver& solver) {
    const JointGrid grid = make_joint_grid(problem);
    Work work(budget);
    const Found found = find(problem, grid, work, solver);
    JointAmps amps = *found.cheapest.amps;
    if (!work.stopped()) go_gently(problem, amps);

    JointPlan plan;
    Wide thirds = 0;
    for (std::size_t i = 0; i < amps.size(); ++i) {
        const Problem rest = rest_of(problem, amps, i);
        plan.cars.push_back(car_plan(rest, amps[i]));
        plan.shortfalls.push_back(plan.cars.back().short_by);
        plan.starts += plan.cars.back().starts;
        const Tally sum = tally(rest, amps[i]);
        thirds += sum.energy_cost + start_thirds(rest.start_cost) * sum.starts;
    }
    std::ranges::sort(plan.shortfalls, std::greater<>{});
    plan.shortfalls_proven = found.shortfalls_proven;
    plan.cost = whole_amount(thirds);
    plan.lower_bound = whole_amount(found.cheapest.money_bound * grid.thirds_per_money);
    plan.proof = found.cheapest.proof;
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
