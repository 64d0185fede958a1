// What is handed to a solver of mixed programmes, and what is believed of its answer.
#include "core/plan/joint_model.hpp"

#include <optional>

#include "core/plan/joint.hpp"
#include "core/plan/joint_narrow.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_checker.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;

namespace {

// A tiny night whose needs all fit, its grid, and a plan that is proven the cheapest without any solver.
struct Night {
    explicit Night(JointProblem of)
        : problem(std::move(of)), grid(make_joint_grid(problem)), plan(solve_joint(problem, enough())) {
        for (const JointGrid::Car& car : grid.cars) needs.push_back(car.need);
        for (const CarPlan& car : plan.cars) {
            amps.emplace_back();
            for (const PlannedSlot& slot : car.slots) amps.back().push_back(slot.amps.count());
        }
    }
    [[nodiscard]] bool settled() const {
        return plan.shortfalls.front().missing == MilliwattHours{} && plan.lower_bound == plan.cost;
    }
    static Budget enough() { return {.pricings = 600}; }

    JointProblem problem;
    JointGrid grid;
    JointPlan plan;
    std::vector<std::int64_t> needs;
    JointAmps amps;
};

std::optional<Night> night(std::uint64_t seed) {
    JointProblem problem = support::tiny_joint_instance(seed);
    // In every other one the current that does not exist is next to the least.
    if (seed % 2 == 0) {
        for (JointCar& car : problem.cars) car.missing = car.least + WholeAmps(1);
    }
    Night made(std::move(problem));
    return made.settled() ? std::optional(std::move(made)) : std::nullopt;
}

constexpr int kInstances = 200;

}  // namespace

TEST_CASE(
    "joint: the programme for a solver has the cheapest plans' cost for its optimum, and their amperes") {
    int solved = 0;
    for (std::uint64_t seed = 2001; seed <= 2000 + kInstances; ++seed) {
        INFO("seed " << seed);
        const auto of = night(seed);
        if (!of) continue;
        const JointModel model(of->grid, of->needs, Aim::least_money, true);
        const MixedAnswer answer = solver::cbc().whole(model.programme(), {10'000, {}});
        REQUIRE(answer.exhausted);
        REQUIRE_FALSE(answer.values.empty());
        const JointAmps amps = model.amps(answer.values);
        CHECK(feasible(of->grid, of->needs, amps));
        const Wide least = of->grid.money(cost(of->grid, of->amps));
        CHECK(of->grid.money(cost(of->grid, amps)) == least);
        CHECK(model.money_bound(answer.bound) <= least);
        // Steps of money are coarse here: what is taken off for safety is less than one of them.
        CHECK(model.money_bound(answer.bound) == least);
        ++solved;
    }
    CHECK(solved >= kInstances / 4);
}

TEST_CASE("joint: what is ruled out before a solver looks is in no plan that is cheaper") {
    int solved = 0;
    int closed = 0;
    for (std::uint64_t seed = 3001; seed <= 3000 + kInstances; ++seed) {
        INFO("seed " << seed);
        const auto of = night(seed);
        if (!of) continue;
        Budget budget;
        Work work(budget);
        Ascent ascent(of->grid, of->needs);
        const Wide least = cost(of->grid, of->amps);
        for (int i = 0; i < 30; ++i) ascent.climb(least, work);
        const JointGrid narrow = narrowed(of->grid, of->needs, ascent, least + 1);
        for (std::size_t i = 0; i < narrow.cars.size(); ++i) {
            for (std::size_t t = 0; t < narrow.slots(); ++t) {
                const GridSlot& slot = narrow.cars[i].slots[t];
                CHECK(allows(slot, of->amps[i][t]));
                closed += slot.hi < of->grid.cars[i].slots[t].hi;
            }
        }
        ++solved;
    }
    CHECK(solved >= kInstances / 4);
    CHECK(closed >= kInstances / 4);  // and something is ruled out
}

TEST_CASE(
    "joint: a solver that errs is believed neither an impossible plan nor a bound above a plan there is") {
    MixedSolver wrong;
    wrong.whole = [](const MixedProgramme& programme, const MixedEffort&) {
        // Everything as high as its column goes, called the optimum at any price.
        MixedAnswer answer{.exhausted = true, .bound = 1e12};
        for (const auto& column : programme.columns) answer.values.push_back(column.high);
        return answer;
    };
    int proven = 0;
    for (std::uint64_t seed = 4001; seed <= 4000 + kInstances; ++seed) {
        INFO("seed " << seed);
        const JointProblem problem = support::tiny_joint_instance(seed);
        Budget budget;
        budget.pricings = 600;
        const JointPlan plan = solve_joint(problem, budget, wrong);
        CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
        CHECK(plan.proof == Proof::priced);
        proven += plan.cost_proven();
    }
    CHECK(proven >= kInstances / 4);
}
