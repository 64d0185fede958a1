// The judges themselves, where every plan can be had without them.
#include "reference/plan/judge.hpp"

#include <cmath>

#include "core/plan/joint.hpp"
#include "reference/plan/joint_milp.hpp"
#include "support/catch.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using reference::Outcome;
using reference::Solved;

TEST_CASE("judges: GLPK and CBC prove the cost of plans that are proven without them") {
    int judged = 0;
    for (std::uint64_t seed = 1; seed <= 400; ++seed) {
        INFO("seed " << seed);
        plan::JointProblem problem = support::tiny_joint_instance(seed);
        for (plan::JointCar& car : problem.cars) car.missing = kNotOnThePilot;
        plan::Budget budget;
        budget.pricings = 600;
        const plan::JointPlan plan = plan::solve_joint(problem, budget);
        if (plan.shortfalls.front().missing > MilliwattHours{} || plan.lower_bound != plan.cost) continue;
        ++judged;
        const auto model = reference::joint_milp(problem, std::vector<MilliwattHours>(problem.cars.size()));
        const double cost = static_cast<double>(plan.cost.atto()) / 1e18;
        for (const Solved& solved : {reference::solve_glpk(model, 1'000),
                                     reference::solve_cbc(model, 10'000, reference::Preprocessing::off)}) {
            REQUIRE(solved.outcome == Outcome::proven);
            CHECK(std::abs(reference::joint_cost(problem, solved.values) - cost) <=
                  reference::tolerance(cost));
        }
    }
    CHECK(judged >= 100);
}
