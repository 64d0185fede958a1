#include "core/plan/joint_draft.hpp"

#include <algorithm>
#include <utility>

#include "core/plan/evaluate.hpp"
#include "core/plan/joint_rest.hpp"

namespace lullwatt::plan {
namespace {

std::vector<Shortfall> shortfalls(const JointProblem& problem, const Draft& draft) {
    std::vector<Shortfall> found;
    for (std::size_t i = 0; i < draft.cars.size(); ++i)
        found.push_back({draft.cars[i].short_by, problem.cars[i].need});
    std::ranges::sort(found, std::greater<>{});
    return found;
}

MilliwattHours above_caps(const Draft& draft) {
    MilliwattHours sum;
    for (const Objective& car : draft.cars) sum += car.above_cap;
    return sum;
}

int starts(const Draft& draft) {
    int sum = 0;
    for (const Objective& car : draft.cars) sum += car.starts;
    return sum;
}

}  // namespace

ExactAmount Draft::cost() const {
    ExactAmount sum;
    for (const Objective& car : cars) sum += car.cost;
    return sum;
}

Draft empty_draft(const JointProblem& problem) {
    Draft draft{JointAmps(problem.cars.size(), std::vector<int>(problem.slots.size())), {}};
    for (const JointCar& car : problem.cars)
        draft.cars.push_back({.short_by = std::max(car.need, MilliwattHours{})});
    return draft;
}

void set_car(Draft& draft, const JointProblem& problem, std::size_t car, std::vector<int> amps) {
    draft.amps[car] = std::move(amps);
    draft.cars[car] = make_plan(rest_of(problem, draft.amps, car), draft.amps[car], 0).objective;
}

void set_car(Draft& draft, std::size_t car, const Plan& plan) {
    draft.amps[car] = offered(plan);
    draft.cars[car] = plan.objective;
}

bool better(const JointProblem& problem, const Draft& a, const Draft& b) {
    const std::vector<Shortfall> one = shortfalls(problem, a);
    const std::vector<Shortfall> other = shortfalls(problem, b);
    if (one != other) return std::ranges::lexicographical_compare(one, other);
    if (above_caps(a) != above_caps(b)) return above_caps(a) < above_caps(b);
    if (a.cost() != b.cost()) return a.cost() < b.cost();
    return starts(a) < starts(b);
}

bool equally_good(const Draft& a, const Draft& b) {
    return std::ranges::equal(a.cars, b.cars, [](const Objective& one, const Objective& other) {
        return one.short_by == other.short_by && one.above_cap == other.above_cap;
    });
}

bool at_least(const Draft& a, const Draft& b) {
    return std::ranges::equal(a.amps, b.amps, [](const std::vector<int>& one, const std::vector<int>& other) {
        return std::ranges::equal(one, other, std::greater_equal<>{});
    });
}

std::vector<int> offered(const Plan& plan) {
    std::vector<int> amps;
    for (const PlannedSlot& slot : plan.slots) amps.push_back(slot.amps.count());
    return amps;
}

}  // namespace lullwatt::plan
