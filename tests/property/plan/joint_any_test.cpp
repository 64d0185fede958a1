// Properties of joint plans in which cars are more than the joint programme knows (seeds fixed; printed on
// failure).
#include <algorithm>
#include <rapidcheck.h>

#include "core/plan/grid.hpp"
#include "core/plan/joint.hpp"
#include "core/plan/joint_rest.hpp"
#include "core/plan/solve.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_any_checker.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;

namespace {

JointProblem any_problem() {
    const auto family =
        support::kJointFamilies[*rc::gen::inRange<std::size_t>(0, support::kJointFamilies.size())];
    const int slots = *rc::gen::element(12, 24, 48);
    const int cars = *rc::gen::inRange(2, 5);
    JointProblem problem =
        support::joint_instance(family, cars, slots, *rc::gen::inRange<std::uint64_t>(0, 1'000'000));
    for (JointCar& car : problem.cars) {
        car.preference = static_cast<Preference>(*rc::gen::inRange(0, 3));
        support::set_apart(car, *rc::gen::inRange<std::uint64_t>(0, 7), Rate(140'000'000'000));
    }
    support::set_apart(problem.cars[0], *rc::gen::inRange<std::uint64_t>(0, 5), Rate(140'000'000'000));
    return problem;
}

void give_floors(JointProblem& problem) {
    for (JointCar& car : problem.cars) {
        if (*rc::gen::inRange(0, 6) == 0) car.floor = MilliwattHours(car.need.count() / 3);
    }
}

Budget small() {
    Budget budget;
    budget.pricings = 200;
    budget.nodes = 500;
    return budget;
}

// No car shorter in `a` than in `b`, nor more above its cap: what is bounded of `b` holds for `a`.
bool no_worse(const CarPlan& a, const CarPlan& b) {
    return a.short_by.missing <= b.short_by.missing && a.above_cap <= b.above_cap;
}

}  // namespace

TEST_CASE(
    "joint: with cars of every kind each plan is feasible and tells the truth, with a solver or without") {
    REQUIRE(rc::check([] {
        JointProblem problem = any_problem();
        give_floors(problem);
        const bool helped = *rc::gen::arbitrary<bool>();
        const JointPlan plan = solve_joint(problem, small(), helped ? solver::cbc() : MixedSolver{});
        const auto wrong = support::any_complaints(problem, plan);
        RC_ASSERT(wrong == std::vector<std::string>{});
    }));
}

TEST_CASE("joint: with cars of every kind a bound holds for the plan that another order of the cars finds") {
    REQUIRE(rc::check([] {
        JointProblem problem = any_problem();
        give_floors(problem);
        JointProblem turned = problem;
        std::ranges::reverse(turned.cars);
        for (SharedRow& row : turned.rows) {
            for (std::size_t& car : row.cars) car = problem.cars.size() - 1 - car;
        }
        const JointPlan one = solve_joint(problem, small(), solver::cbc());
        JointPlan other = solve_joint(turned, small(), solver::cbc());
        std::ranges::reverse(other.cars);
        if (one.lower_bound && std::ranges::equal(other.cars, one.cars, no_worse))
            RC_ASSERT(*one.lower_bound <= other.cost);
        if (other.lower_bound && std::ranges::equal(one.cars, other.cars, no_worse))
            RC_ASSERT(*other.lower_bound <= one.cost);
        if (one.shortfalls_proven) RC_ASSERT(one.shortfalls <= other.shortfalls);
    }));
}

TEST_CASE("joint: with cars of every kind there is a plan however early it is stopped, with a true bound") {
    REQUIRE(rc::check([] {
        JointProblem problem = any_problem();
        give_floors(problem);
        Budget budget = small();
        int left = *rc::gen::inRange(0, 200);
        budget.stop = [&left] { return --left < 0; };
        const JointPlan stopped = solve_joint(problem, budget, solver::cbc());
        RC_ASSERT(support::any_complaints(problem, stopped) == std::vector<std::string>{});
        const JointPlan whole = solve_joint(problem, small(), solver::cbc());
        if (stopped.lower_bound && std::ranges::equal(whole.cars, stopped.cars, no_worse))
            RC_ASSERT(*stopped.lower_bound <= whole.cost);
        RC_ASSERT(whole.shortfalls <= stopped.shortfalls);
    }));
}

TEST_CASE("joint: with cars of every kind the same problem and budget give the same plan") {
    REQUIRE(rc::check([] {
        const JointProblem problem = any_problem();
        const JointPlan one = solve_joint(problem, small(), solver::cbc());
        const JointPlan other = solve_joint(problem, small(), solver::cbc());
        RC_ASSERT(one.lower_bound == other.lower_bound);
        RC_ASSERT(support::all_amps(one) == support::all_amps(other));
    }));
}

TEST_CASE("joint: shares are evened before time runs out on money") {
    for (const std::uint64_t seed : {1, 2, 13, 17, 23}) {
        JointProblem problem = support::joint_instance(support::JointFamily::hourly, 4, 48, seed);
        problem.cars[0].manner = Manner::one_block;
        for (SharedRow& row : problem.rows) {
            for (WholeAmps& capacity : row.capacity) capacity = WholeAmps(capacity.count() / 2);
        }
        Budget budget;
        int left = 7;
        budget.hurry = [&left] { return --left < 0; };
        budget.stop = [&left] { return left < 0; };
        const Shortfall greatest = solve_joint(problem, budget, solver::cbc()).shortfalls.front();
        INFO("seed " << seed << ": " << greatest.missing.count() << " of " << greatest.need.count());
        CHECK(2 * greatest.missing.count() < greatest.need.count());  // with money first: 55 to 100 %
    }
}

TEST_CASE("joint: with cars of every kind the one floor there is is charged as if nobody else were there") {
    REQUIRE(rc::check([] {
        JointProblem problem = any_problem();
        const auto car = *rc::gen::inRange<std::size_t>(0, problem.cars.size());
        problem.cars[car].floor = MilliwattHours(problem.cars[car].need.count() / 3);
        const JointAmps nothing(problem.cars.size(), std::vector<int>(problem.slots.size()));
        const Problem alone = rest_of(problem, nothing, car);
        RC_PRE(alone.manner == Manner::driven);
        const FloorSlots floor = floor_slots(alone);
        RC_PRE(floor.reach > WholeAmps(0));
        Problem firm = alone;
        firm.floor_first = true;
        const Plan first = solve(firm);
        // A car that does not wake may leave its floor for a run that brings more of its need.
        RC_PRE(alone.wakes || solve(alone).objective.short_by == first.objective.short_by);
        const JointPlan plan = solve_joint(problem, small(), solver::cbc());
        for (std::size_t t = 0; t <= floor.full; ++t) {
            const WholeAmps asked =
                t < floor.full ? first.slots[t].amps : std::min(floor.reach, first.slots[t].amps);
            RC_ASSERT(plan.cars[car].slots[t].amps >= asked);
        }
    }));
}
