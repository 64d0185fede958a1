// Properties of every joint plan, on random nights (seeds fixed; printed on failure).
#include "core/plan/joint.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <rapidcheck.h>

#include "core/plan/solve.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/instances.hpp"
#include "support/joint_checker.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;

namespace {

JointProblem any_problem(int most_slots = 48) {
    const auto family =
        support::kJointFamilies[*rc::gen::inRange<std::size_t>(0, support::kJointFamilies.size())];
    const int slots = most_slots / *rc::gen::element(1, 2, 4);
    const int cars = *rc::gen::inRange(1, 5);
    JointProblem problem =
        support::joint_instance(family, cars, slots, *rc::gen::inRange<std::uint64_t>(0, 1'000'000));
    for (JointCar& car : problem.cars) {
        car.preference = static_cast<Preference>(*rc::gen::inRange(0, 3));
        if (*rc::gen::inRange(0, 4) == 0) car.floor = MilliwattHours(car.need.count() / 3);
    }
    return problem;
}

// Enough for a small night, and the same each time.
Budget small() {
    Budget budget;
    budget.pricings = 1'500;
    budget.nodes = 2'000;
    return budget;
}

bool proven(const JointPlan& plan) { return plan.shortfalls_proven && plan.cost_proven(); }

bool same_cost(const JointPlan& a, const JointPlan& b) {
    const auto more = a.cost < b.cost ? b.cost - a.cost : a.cost - b.cost;
    return static_cast<double>(more.atto()) / 1e18 <=
           2e-6 * std::max(0.01, static_cast<double>(a.cost.atto()) / 1e18);
}

// Each car lacks what it lacked before. Only then are costs compared: less short costs more.
bool as_short(const JointPlan& a, const JointPlan& b) {
    return std::ranges::equal(a.cars, b.cars, {}, &CarPlan::short_by, &CarPlan::short_by);
}

// The same cars and rows in another order.
JointProblem in_any_order(const JointProblem& problem) {
    std::vector<std::size_t> order(problem.cars.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    for (std::size_t i = order.size(); i > 1; --i)
        std::swap(order[i - 1], order[*rc::gen::inRange<std::size_t>(0, i)]);
    JointProblem turned = problem;
    for (std::size_t i = 0; i < order.size(); ++i) turned.cars[order[i]] = problem.cars[i];
    for (SharedRow& row : turned.rows) {
        for (std::size_t& car : row.cars) car = order[car];
    }
    std::ranges::reverse(turned.rows);
    return turned;
}

// One car of the one-car planner's own families as a joint problem.
JointProblem alone(const Problem& problem) {
    JointProblem joint;
    JointCar car{.name = "only",
                 .per_ampere = problem.per_ampere,
                 .least = problem.least,
                 .need = problem.need,
                 .floor = problem.floor,
                 .start_cost = problem.start_cost,
                 .preference = problem.preference};
    for (const Slot& slot : problem.slots) {
        joint.slots.push_back(slot.when);
        car.slots.push_back({slot.price, slot.most, slot.bound});
    }
    joint.cars.push_back(std::move(car));
    return joint;
}

}  // namespace

TEST_CASE("joint: every plan is feasible and tells the truth, with a solver or without") {
    REQUIRE(rc::check([] {
        const JointProblem problem = any_problem();
        const bool helped = *rc::gen::arbitrary<bool>();
        const JointPlan plan = solve_joint(problem, small(), helped ? solver::cbc() : MixedSolver{});
        RC_ASSERT(support::complaints(problem, plan).empty());
        RC_ASSERT(helped || plan.proof == Proof::priced);
    }));
}

TEST_CASE("joint: one car alone gets the one-car planner's plan, proven without a solver") {
    REQUIRE(rc::check([] {
        const auto family = support::kFamilies[*rc::gen::inRange<std::size_t>(0, support::kFamilies.size())];
        const Problem problem = support::instance(family, *rc::gen::inRange(1, 80),
                                                  *rc::gen::inRange<std::uint64_t>(0, 1'000'000));
        const Plan one = solve(problem);
        const JointPlan joint = solve_joint(alone(problem));
        RC_ASSERT(joint.cost == one.objective.cost);
        RC_ASSERT(joint.lower_bound == one.objective.cost);
        RC_ASSERT(joint.starts == one.objective.starts);
        RC_ASSERT(joint.cars[0].short_by.missing == one.objective.short_by);
        RC_ASSERT(joint.shortfalls_proven);
        RC_ASSERT(joint.cars[0].slots == one.slots);
    }));
}

TEST_CASE("joint: the order of the cars does not change what a proven plan is worth") {
    REQUIRE(rc::check([] {
        const JointProblem problem = any_problem(24);
        const JointProblem turned = in_any_order(problem);
        const JointPlan one = solve_joint(problem, small(), solver::cbc());
        const JointPlan other = solve_joint(turned, small(), solver::cbc());
        if (!proven(one) || !proven(other)) return;
        RC_ASSERT(one.shortfalls == other.shortfalls);
        RC_ASSERT(same_cost(one, other));
    }));
}

TEST_CASE("joint: more headroom never makes a proven plan worse") {
    REQUIRE(rc::check([] {
        JointProblem problem = any_problem(24);
        // A floor takes what headroom there is at once, dear or not.
        for (JointCar& car : problem.cars) car.floor = MilliwattHours{};
        const JointPlan before = solve_joint(problem, small(), solver::cbc());
        if (problem.rows.empty()) return;
        JointProblem wider = problem;
        SharedRow& row = wider.rows[*rc::gen::inRange<std::size_t>(0, wider.rows.size())];
        for (WholeAmps& amps : row.capacity) {
            if (*rc::gen::inRange(0, 2) == 0) amps = amps + WholeAmps(*rc::gen::inRange(1, 12));
        }
        const JointPlan after = solve_joint(wider, small(), solver::cbc());
        if (!proven(before) || !proven(after)) return;
        RC_ASSERT(after.shortfalls <= before.shortfalls);
        if (as_short(before, after)) RC_ASSERT(after.cost <= before.cost || same_cost(after, before));
    }));
}

TEST_CASE("joint: the same problem and budget give the same plan") {
    REQUIRE(rc::check([] {
        const JointProblem problem = any_problem(24);
        const JointPlan one = solve_joint(problem, small(), solver::cbc());
        const JointPlan other = solve_joint(problem, small(), solver::cbc());
        RC_ASSERT(one.lower_bound == other.lower_bound);
        for (std::size_t i = 0; i < one.cars.size(); ++i) RC_ASSERT(one.cars[i].slots == other.cars[i].slots);
    }));
}

TEST_CASE("joint: however early it is stopped, there is a feasible plan with a true bound") {
    REQUIRE(rc::check([] {
        const JointProblem problem = any_problem();
        Budget budget = small();
        int left = *rc::gen::inRange(0, 60);
        budget.stop = [&left] { return --left < 0; };
        const JointPlan stopped = solve_joint(problem, budget, solver::cbc());
        RC_ASSERT(support::complaints(problem, stopped).empty());
        const JointPlan whole = solve_joint(problem, small(), solver::cbc());
        RC_ASSERT(whole.shortfalls <= stopped.shortfalls || !whole.shortfalls_proven);
        if (whole.shortfalls == stopped.shortfalls && whole.shortfalls.front().missing == MilliwattHours{})
            RC_ASSERT(stopped.lower_bound <= whole.cost);
    }));
}

TEST_CASE("joint: a later ready-by never makes a proven plan worse") {
    REQUIRE(rc::check([] {
        JointProblem problem = any_problem(24);
        for (JointCar& car : problem.cars) car.floor = MilliwattHours{};
        const JointPlan before = solve_joint(problem, small(), solver::cbc());
        JointProblem later = problem;
        JointCar& car = later.cars[*rc::gen::inRange<std::size_t>(0, later.cars.size())];
        WholeAmps most;
        std::size_t last = 0;
        for (std::size_t t = 0; t < car.slots.size(); ++t) {
            if (car.slots[t].most > WholeAmps(0)) last = t;
            most = std::max(most, car.slots[t].most);
        }
        for (std::size_t t = last + 1; t < std::min(last + 5, car.slots.size()); ++t)
            car.slots[t].most = most;
        const JointPlan after = solve_joint(later, small(), solver::cbc());
        if (!proven(before) || !proven(after)) return;
        RC_ASSERT(after.shortfalls <= before.shortfalls);
        if (as_short(before, after)) RC_ASSERT(after.cost <= before.cost || same_cost(after, before));
    }));
}

TEST_CASE("joint: prices and start costs times a number cost that many times as much") {
    REQUIRE(rc::check([] {
        const JointProblem problem = any_problem(24);
        const std::int64_t times = *rc::gen::inRange(2, 8);
        JointProblem scaled = problem;
        for (JointCar& car : scaled.cars) {
            car.start_cost = Money(car.start_cost.count() * times);
            for (CarSlot& slot : car.slots) slot.price = Rate(slot.price.count() * times);
        }
        const JointPlan one = solve_joint(problem, small(), solver::cbc());
        const JointPlan other = solve_joint(scaled, small(), solver::cbc());
        if (!proven(one) || !proven(other)) return;
        RC_ASSERT(one.shortfalls == other.shortfalls);
        const auto amount = [](ExactAmount exact) { return static_cast<double>(exact.atto()) / 1e18; };
        const double expected = static_cast<double>(times) * amount(one.cost);
        RC_ASSERT(std::abs(amount(other.cost) - expected) <= 2e-6 * std::max(0.01, std::abs(expected)));
    }));
}

TEST_CASE("joint: many cars get a feasible plan with a true bound, whether columns finish or not") {
    REQUIRE(rc::check([] {
        const auto family =
            support::kJointFamilies[*rc::gen::inRange<std::size_t>(0, support::kJointFamilies.size())];
        JointProblem problem = support::joint_instance(family, *rc::gen::inRange(9, 16), 24,
                                                       *rc::gen::inRange<std::uint64_t>(0, 1'000'000));
        // Nothing is to be short: the columns are asked, and not the fairness before them.
        for (JointCar& car : problem.cars) {
            car.need = MilliwattHours(car.need.count() / 2);
            if (*rc::gen::inRange(0, 4) == 0) car.floor = MilliwattHours(car.need.count() / 3);
        }
        Budget budget = small();
        int left = *rc::gen::inRange(0, 400);
        budget.stop = [&left] { return --left < 0; };
        const JointPlan stopped = solve_joint(problem, budget, solver::cbc());
        const JointPlan whole = solve_joint(problem, small(), solver::cbc());
        RC_ASSERT(support::complaints(problem, stopped).empty());
        RC_ASSERT(support::complaints(problem, whole).empty());
        if (whole.shortfalls == stopped.shortfalls && whole.shortfalls.front().missing == MilliwattHours{})
            RC_ASSERT(stopped.lower_bound <= whole.cost);
    }));
}

TEST_CASE("joint: however early time ends, no car of many goes without what the others leave") {
    for (const int cars : {9, 30}) {
        for (const std::uint64_t seed : {3, 4, 5}) {
            JointProblem problem = support::joint_instance(support::JointFamily::time_of_use, cars, 96, seed);
            for (JointCar& car : problem.cars) car.need = MilliwattHours(car.need.count() / 2);
            for (const int calls : {0, 60, 500, 2'000}) {
                INFO(cars << " cars, seed " << seed << ", stopped at call " << calls);
                Budget budget = small();
                int left = calls;
                budget.stop = [&left] { return --left < 0; };
                budget.hurry = budget.stop;
                const JointPlan plan = solve_joint(problem, budget, solver::cbc());
                CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
                CHECK(plan.shortfalls.front().missing < plan.shortfalls.front().need);
            }
        }
    }
}

TEST_CASE(
    "joint: with the whole night's tree cut short, parts of it leave a feasible plan and a true bound") {
    for (const support::JointFamily family : support::kJointFamilies) {
        const JointProblem problem = support::joint_instance(family, 3, 96, 31);
        Budget short_tree = small();
        short_tree.nodes = 1;
        const JointPlan plan = solve_joint(problem, short_tree, solver::cbc());
        const JointPlan without = solve_joint(problem, small());
        INFO(support::name(family));
        CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
        CHECK(plan.shortfalls <= without.shortfalls);
        if (plan.shortfalls != without.shortfalls) continue;
        CHECK(plan.cost <= without.cost);
        CHECK(plan.lower_bound.value() <= without.cost);
        CHECK(without.lower_bound.value() <= plan.cost);
    }
}
