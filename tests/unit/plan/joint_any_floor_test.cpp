// Floors and gentle currents of cars that are planned together, worked out by hand.
#include <algorithm>

#include "core/plan/joint.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_by_hand.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using support::amps;
using support::car;
using support::quarters;
using support::row;

TEST_CASE("joint: a floor of a car that is set apart comes before what any other car charges") {
    JointProblem problem = quarters(3);
    problem.cars = {car("a", {30, 20, 10}, 16, 16), car("b", {9, 20, 10}, 16, 16)};
    problem.cars[0].overhead = Watts(240);
    problem.cars[0].floor = WattHours(600);
    problem.rows = {row(16, 3, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    // 11 A bring 600 Wh in a quarter, and leave b too little for its least.
    CHECK(amps(plan.cars[0])[0] >= 11);
    CHECK(amps(plan.cars[1])[0] == 0);
    CHECK(plan.shortfalls.front().missing == MilliwattHours{});
    CHECK(plan.cost == ExactAmount(Money((11 * 30 + 7 * 20 + 16 * 10) * 600)));
    CHECK(plan.cost_proven());
}

TEST_CASE("joint: a block set by hand that has a floor begins at once, whoever else would charge") {
    JointProblem problem = quarters(3);
    problem.cars = {car("a", {30, 20, 10}, 16, 16), car("b", {9, 20, 10}, 16, 16)};
    problem.cars[0].manner = Manner::one_block;
    problem.cars[0].floor = WattHours(300);
    problem.rows = {row(16, 3, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(amps(plan.cars[0])[0] > 0);
    CHECK(plan.shortfalls.front().missing == MilliwattHours{});
}

TEST_CASE("joint: a floor that reaches into the taper is charged at once with what the battery takes") {
    JointProblem problem = quarters(4);
    problem.cars = {car("a", {30, 30, 30, 10}, 16, 32), car("b", {9, 20, 10, 10}, 16, 16)};
    problem.cars[0].taper = {{WattHours(60 * 16), WholeAmps(8)}};
    problem.cars[0].floor = WattHours(60 * 24);
    problem.rows = {row(16, 4, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(amps(plan.cars[0])[0] == 16);
    CHECK(amps(plan.cars[0])[1] == 8);
    CHECK(plan.shortfalls.front().missing == MilliwattHours{});
    CHECK(plan.cost_proven());
}

TEST_CASE("joint: cars that charge gently leave each other room for it") {
    JointProblem problem = quarters(8);
    problem.cars = {car("a", {10, 10, 10, 10, 10, 10, 10, 10}, 32, 64),
                    car("b", {10, 10, 10, 10, 10, 10, 10, 10}, 32, 64)};
    for (JointCar& one : problem.cars) one.preference = Preference::gentle;
    problem.rows = {row(32, 8, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    for (const CarPlan& one : plan.cars) CHECK(std::ranges::max(amps(one)) == 8);
}

TEST_CASE("joint: of two floors beside a car set by hand the one that is to be ready first comes first") {
    JointProblem problem = quarters(4);
    problem.cars = {car("a", {10, 10, 10, 10}, 16, 32), car("b", {10, 10, 10}, 16, 16),
                    car("c", {1, 10, 10, 10}, 16, 16)};
    problem.cars[1].slots.push_back({Rate(0), WholeAmps(0), {BoundKind::away}});
    problem.cars[0].floor = problem.cars[1].floor = WattHours(900);
    problem.cars[0].overhead = problem.cars[1].overhead = Watts(240);
    problem.cars[2].manner = Manner::one_block;
    problem.rows = {row(16, 4, {0, 1, 2})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(amps(plan.cars[1])[0] == 16);
    CHECK(amps(plan.cars[0])[1] == 16);
    CHECK(amps(plan.cars[2])[0] == 0);
}
