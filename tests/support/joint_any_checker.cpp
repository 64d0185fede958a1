#include "support/joint_any_checker.hpp"

#include <algorithm>

#include "core/plan/evaluate.hpp"
#include "core/plan/joint_rest.hpp"

namespace lullwatt::support {
namespace {

using plan::JointAmps;
using plan::JointCar;
using plan::JointPlan;
using plan::JointProblem;

bool may_draw(const JointCar& car, std::size_t t, int amps) {
    return amps == 0 ||
           (amps >= car.least.count() && amps <= car.slots[t].most.count() && amps != car.missing.count());
}

bool runs_once(const JointCar& car, const std::vector<int>& amps) {
    int runs = 0;
    for (std::size_t t = 0; t < amps.size(); ++t) {
        if (car.slots[t].bound.kind == plan::BoundKind::away) runs = 0;
        runs += amps[t] > 0 && (t == 0 || amps[t - 1] == 0);
        if (runs > 1) return false;
    }
    return true;
}

// One start, one current, and nobody to stop it before its need is in, the car is away or the time is over.
bool is_block(const JointCar& car, const std::vector<int>& amps, bool is_short) {
    const auto begin = std::ranges::find_if(amps, [](int a) { return a > 0; });
    if (begin == amps.end()) return true;
    const auto end = std::find_if(begin, amps.end(), [&](int a) { return a != *begin; });
    if (std::any_of(end, amps.end(), [](int a) { return a > 0; })) return false;
    const auto next = static_cast<std::size_t>(end - amps.begin());
    return !is_short || end == amps.end() || car.slots[next].bound.kind == plan::BoundKind::away;
}

}  // namespace

JointAmps all_amps(const JointPlan& plan) {
    JointAmps out;
    for (const plan::CarPlan& car : plan.cars) {
        out.emplace_back();
        for (const plan::PlannedSlot& slot : car.slots) out.back().push_back(slot.amps.count());
    }
    return out;
}

std::vector<std::string> any_complaints(const JointProblem& problem, const JointPlan& plan) {
    std::vector<std::string> wrong;
    const auto expect = [&](bool holds, const std::string& text) {
        if (!holds) wrong.push_back(text);
    };
    const JointAmps drawn = all_amps(plan);
    for (const plan::SharedRow& row : problem.rows) {
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            int sum = 0;
            for (const std::size_t i : row.cars) sum += drawn[i][t];
            expect(sum <= std::max(0, row.capacity[t].count()), "above a row in slot " + std::to_string(t));
        }
    }
    ExactAmount cost;
    MilliwattHours above_cap;
    for (std::size_t i = 0; i < drawn.size(); ++i) {
        const JointCar& car = problem.cars[i];
        const plan::CarPlan& told = plan.cars[i];
        for (std::size_t t = 0; t < drawn[i].size(); ++t)
            expect(may_draw(car, t, drawn[i][t]), car.name + ": no such current");
        expect(car.wakes || runs_once(car, drawn[i]), car.name + ": wakes after a pause");
        if (car.manner == plan::Manner::one_block)
            expect(is_block(car, drawn[i], told.short_by.missing > MilliwattHours{}),
                   car.name + ": no block");
        const plan::Problem rest = plan::rest_of(problem, drawn, i);
        const plan::Objective sum = plan::objective_of(rest, plan::tally(rest, drawn[i]));
        expect(told.short_by.missing == sum.short_by, car.name + ": another shortfall");
        expect(told.above_cap == sum.above_cap, car.name + ": another energy above the cap");
        expect(told.cost == sum.cost, car.name + ": another cost");
        cost += told.cost;
        above_cap += told.above_cap;
    }
    const ExactAmount off = plan.cost < cost ? cost - plan.cost : plan.cost - cost;
    expect(off.atto() <= static_cast<Wide>(drawn.size()), "cost is the sum of the cars'");
    expect(plan.above_cap == above_cap, "energy above the caps is the sum of the cars'");
    expect(!plan.lower_bound || *plan.lower_bound <= plan.cost, "the bound is not above the cost");
    return wrong;
}

void set_apart(JointCar& car, std::uint64_t kind, Rate cap) {
    if (kind == 0) car.taper = {{MilliwattHours(car.need.count() / 2), car.least}};
    if (kind == 1) {
        car.least = std::max(car.least, WholeAmps(3));
        car.overhead = Watts(car.per_ampere.count() / 2);
    }
    if (kind == 2) car.wakes = false;
    if (kind == 3) car.price_cap = cap;
    if (kind == 4) car.manner = plan::Manner::one_block;
}

}  // namespace lullwatt::support
