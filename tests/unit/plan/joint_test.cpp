// Joint plans small enough to be worked out by hand.
#include "core/plan/joint.hpp"

#include <string>
#include <utility>

#include "core/plan/joint_grid.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_by_hand.hpp"
#include "support/joint_checker.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using support::amps;
using support::car;
using support::quarters;

namespace {

SharedRow row(int node, int leg, std::initializer_list<int> amps, std::vector<std::size_t> cars) {
    SharedRow out{.node = node, .leg = leg, .cars = std::move(cars)};
    for (const int a : amps) out.capacity.emplace_back(a);
    return out;
}

using A = std::vector<int>;

}  // namespace

TEST_CASE("joint: the car to which the cheap slot is worth more gets it") {
    // One slot holds only one of them. The second car's other price is 30 dearer, the first car's 10.
    JointProblem problem = quarters(2);
    problem.cars = {car("a", {10, 20}, 16, 16), car("b", {10, 40}, 16, 16)};
    problem.rows = {row(0, 0, {16, 16}, {0, 1})};
    for (const bool helped : {false, true}) {
        const JointPlan plan = solve_joint(problem, {}, helped ? solver::cbc() : MixedSolver{});
        CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
        CHECK(amps(plan.cars[0]) == A{0, 16});
        CHECK(amps(plan.cars[1]) == A{16, 0});
        CHECK(plan.cost == ExactAmount(Money(288'000)));  // 0.96 kWh × (0.20 + 0.10)
        CHECK(plan.cost_proven());
        CHECK(plan.shortfalls_proven);
    }
}

TEST_CASE("joint: where one of two cars gets nothing, others are not short for it") {
    JointProblem problem = quarters(2);
    problem.cars = {car("a", {10, 10}, 16, 8), car("b", {10, 10}, 16, 8), car("c", {10, 10}, 16, 16),
                    car("d", {10, 10}, 16, 20)};
    problem.rows = {row(0, 0, {6, 0}, {0, 1})};
    for (const bool helped : {false, true}) {
        const JointPlan plan = solve_joint(problem, {}, helped ? solver::cbc() : MixedSolver{});
        CHECK(amps(plan.cars[0]) == A{6, 0});
        CHECK(amps(plan.cars[1]) == A{0, 0});
        CHECK(plan.cars[2].short_by.missing == MilliwattHours{});
        CHECK(plan.cars[3].short_by.missing == MilliwattHours{});
        CHECK(plan.shortfalls_proven);
    }
}

TEST_CASE("joint: every leg that a car loads holds, and each leg by itself") {
    // A split-phase car on both legs, one car on each leg alone: 20 A on a leg hold 20, on either or on both.
    for (const auto& [left, right] : {std::pair{20, 20}, std::pair{20, 40}, std::pair{40, 20}}) {
        JointProblem problem = quarters(2);
        problem.cars = {car("both", {10, 10}, 20, 20), car("left", {10, 30}, 20, 10),
                        car("right", {10, 30}, 20, 10)};
        problem.rows = {row(0, 0, {left, left}, {0, 1}), row(0, 1, {right, right}, {0, 2})};
        const JointPlan plan = solve_joint(problem, {}, solver::cbc());
        CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
        CHECK(amps(plan.cars[0]) == A{10, 10});
        CHECK(amps(plan.cars[1]) == A{10, 0});
        CHECK(amps(plan.cars[2]) == A{10, 0});
        CHECK(plan.cost_proven());
    }
}

TEST_CASE("joint: a feeder binds below a service that does not") {
    JointProblem problem = quarters(1);
    problem.cars = {car("a", {10}, 32, 12), car("b", {10}, 32, 12), car("c", {10}, 32, 32)};
    problem.rows = {row(0, 0, {80}, {0, 1, 2}), row(1, 0, {20}, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
    CHECK(amps(plan.cars[0]) == A{10});
    CHECK(amps(plan.cars[1]) == A{10});
    CHECK(amps(plan.cars[2]) == A{32});
}

TEST_CASE("joint: what is short is shared by the need, not by the ampere") {
    // 30 A for needs of 40 and 20: 20 and 10 leave half of each.
    JointProblem problem = quarters(1);
    problem.cars = {car("a", {10}, 48, 40), car("b", {10}, 48, 20)};
    problem.rows = {row(0, 0, {30}, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(amps(plan.cars[0]) == A{20});
    CHECK(amps(plan.cars[1]) == A{10});
    CHECK(plan.shortfalls_proven);
    CHECK(plan.shortfalls[0] == Shortfall{WattHours(1200), WattHours(2400)});
}

TEST_CASE("joint: a car that gains nobody by being short is not short") {
    // "a" is alone in its window and cannot get more than 10; "b" has room enough elsewhere.
    JointProblem problem = quarters(2);
    problem.cars = {car("a", {10, 10}, 10, 20), car("b", {10, 10}, 30, 30)};
    problem.cars[0].slots[1].most = WholeAmps(0);
    problem.rows = {row(0, 0, {30, 30}, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(amps(plan.cars[0]) == A{10, 0});
    CHECK(plan.cars[1].short_by.missing == MilliwattHours{});
    CHECK(plan.shortfalls_proven);
}

TEST_CASE("joint: where one must be short and either could, it is the later name") {
    // Room for one car at its least.
    JointProblem problem = quarters(1);
    problem.cars = {car("b", {10}, 6, 6), car("a", {10}, 6, 6)};
    problem.rows = {row(0, 0, {8}, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(amps(plan.cars[0]) == A{0});
    CHECK(amps(plan.cars[1]) == A{6});
    CHECK(plan.shortfalls_proven);
}

TEST_CASE("joint: floors are charged at once, the greatest share missing first, whatever it costs") {
    JointProblem problem = quarters(3);
    problem.cars = {car("a", {50, 50, 10}, 16, 30), car("b", {50, 50, 10}, 16, 30)};
    problem.rows = {row(0, 0, {16, 16, 40}, {0, 1})};
    // The first slot has 16 A: 6 each. Of four more, three go to the floor of 12 while more than 3 of it are
    // missing and 2 of the floor of 8; then both miss a quarter, and the name decides.
    const bool first_is_greater = GENERATE(true, false);
    problem.cars[0].floor = WattHours(60 * (first_is_greater ? 12 : 8));
    problem.cars[1].floor = WattHours(60 * (first_is_greater ? 8 : 12));
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
    CHECK(plan.cars[0].slots[0].amps + plan.cars[1].slots[0].amps == WholeAmps(16));
    CHECK(amps(plan.cars[0])[0] == (first_is_greater ? 10 : 7));
    CHECK(amps(plan.cars[1])[0] == (first_is_greater ? 6 : 9));
    // What is left of each floor needs the least current in the second slot.
    CHECK(amps(plan.cars[0])[1] >= 6);
    CHECK(amps(plan.cars[1])[1] >= 6);
}

TEST_CASE("joint: a start that costs more than it saves is not made") {
    // "a" bridges the dear slot at its least rather than start twice, and "b" has its room there.
    JointProblem problem = quarters(3);
    problem.cars = {car("a", {10, 12, 10}, 16, 32), car("b", {30, 11, 30}, 16, 6)};
    problem.cars[0].start_cost = Money(50'000);
    problem.rows = {row(0, 0, {16, 22, 16}, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(amps(plan.cars[0]) == A{16, 6, 10});
    CHECK(amps(plan.cars[1]) == A{0, 6, 0});
    CHECK(plan.starts == 2);
    CHECK(plan.cost_proven());
}

TEST_CASE("joint: the problem that is left for one car names the row that the others fill") {
    JointProblem problem = quarters(1);
    problem.cars = {car("a", {10}, 32, 20), car("b", {10}, 32, 20)};
    problem.rows = {row(0, 0, {60}, {0, 1}), row(3, 1, {40}, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    REQUIRE(amps(plan.cars[1]) == A{20});
    const Problem rest =
        beside(problem, plan, 0, {problem.slots.front().begin, problem.slots.back().end}).problem;
    CHECK(rest.slots[0].most == WholeAmps(20));
    CHECK(rest.slots[0].bound == Bound{BoundKind::headroom, 3, 1});
    CHECK(plan.cars[0].slots[0].why == Why::no_choice);
}

TEST_CASE("joint: nothing to do is a plan") {
    SECTION("no cars") {
        const JointPlan plan = solve_joint(quarters(2));
        CHECK(plan.cars.empty());
        CHECK(plan.cost == ExactAmount{});
        CHECK(plan.gap() == 0);
    }
    SECTION("no need, at a negative price") {
        JointProblem problem = quarters(2);
        problem.cars = {car("a", {-10, -10}, 16, 0), car("b", {10, 10}, 16, 6)};
        problem.rows = {row(0, 0, {16, 16}, {0, 1})};
        const JointPlan plan = solve_joint(problem);
        CHECK(amps(plan.cars[0]) == A{0, 0});
        CHECK(plan.cost_proven());
    }
    SECTION("no slots") {
        JointProblem problem;
        problem.cars = {car("a", {}, 16, 6)};
        const JointPlan plan = solve_joint(problem);
        CHECK(plan.cars[0].short_by.missing == MilliwattHours(360'000));
        CHECK(plan.shortfalls_proven);
    }
}

TEST_CASE("joint: 52 A is planned for no car, whoever leaves it that much") {
    SECTION("what a neighbour leaves of a row") {
        // 100 A for both: one of them on 48 A would leave 52.
        JointProblem problem = quarters(1);
        problem.cars = {car("a", {10}, 80, 48), car("b", {10}, 80, 51)};
        problem.rows = {row(0, 0, {100}, {0, 1})};
        for (const bool helped : {false, true}) {
            const JointPlan plan = solve_joint(problem, {}, helped ? solver::cbc() : MixedSolver{});
            CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
            CHECK(plan.shortfalls.front().missing == MilliwattHours{});
            CHECK(plan.cost_proven());
        }
    }
    SECTION("a need that 52 A would just meet takes 53 A") {
        JointProblem problem = quarters(1);
        problem.cars = {car("a", {10}, 80, 52), car("b", {10}, 80, 20)};
        problem.rows = {row(0, 0, {73}, {0, 1})};
        for (const bool helped : {false, true}) {
            const JointPlan plan = solve_joint(problem, {}, helped ? solver::cbc() : MixedSolver{});
            CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
            CHECK(amps(plan.cars[0]) == A{53});
            CHECK(amps(plan.cars[1]) == A{20});
        }
    }
    SECTION("a floor is dealt past it") {
        JointProblem problem = quarters(2);
        problem.cars = {car("a", {10, 10}, 80, 100), car("b", {10, 10}, 20, 10)};
        problem.cars[0].floor = WattHours(60 * 52);
        problem.rows = {row(0, 0, {60, 90}, {0, 1})};
        const JointPlan plan = solve_joint(problem, {}, solver::cbc());
        CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
        CHECK(plan.cars[0].slots[0].amps >= WholeAmps(53));
    }
}
