// The joint planner against GLPK: the model's builder (joint_milp.cpp) shares only the JointProblem with the
// planner, and a third piece (support/joint_checker.cpp) re-checks every plan.
#include <cmath>
#include <cstdlib>
#include <iostream>

#include "core/plan/joint.hpp"
#include "reference/plan/joint_milp.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_checker.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using reference::Outcome;
using support::JointFamily;

namespace {

struct Share {
    int instances = 0, judged = 0, ours = 0, both = 0, short_of = 0, telling = 0;
};

double told(ExactAmount amount) { return static_cast<double>(amount.atto()) / 1e18; }

double greatest_share(const plan::JointPlan& plan) {
    const plan::Shortfall& most = plan.shortfalls.front();
    return static_cast<double>(most.missing.count()) / static_cast<double>(most.need.count());
}

// Headroom binds in the plan, starts cost money, and prices differ by slot.
bool telling(const plan::JointProblem& problem, const plan::JointPlan& plan) {
    bool starts_cost = false;
    bool differ = false;
    for (const plan::JointCar& car : problem.cars) {
        starts_cost |= car.start_cost > Money(0);
        for (const plan::CarSlot& slot : car.slots) differ |= slot.price != car.slots[0].price;
    }
    return support::headroom_binds(problem, plan) && starts_cost && differ;
}

void compare(const plan::JointProblem& problem, int limit_ms, Share& share) {
    const plan::JointPlan plan = plan::solve_joint(problem, {}, solver::cbc());
    CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
    ++share.instances;
    share.telling += telling(problem, plan);
    const bool proven = plan.cost_proven() && plan.shortfalls_proven;
    share.ours += proven;

    std::vector<MilliwattHours> short_by;
    for (const plan::CarPlan& car : plan.cars) short_by.push_back(car.short_by.missing);
    if (plan.shortfalls.front().missing > MilliwattHours{}) {
        ++share.short_of;
        const auto least = reference::solve_glpk(reference::joint_shortfall_milp(problem), limit_ms);
        if (least.outcome == Outcome::proven) {
            const double judged = reference::joint_shortfall(problem, least.values);
            CHECK(greatest_share(plan) >= judged - 1e-6);
            if (plan.shortfalls_proven) CHECK(greatest_share(plan) <= judged + 1e-6);
        }
    }
    const auto judged = reference::solve_glpk(reference::joint_milp(problem, short_by), limit_ms);
    CHECK(judged.outcome != Outcome::infeasible);
    if (judged.outcome != Outcome::proven) {
        std::cout << "  not proven by the reference in " << limit_ms << " ms; ours " << told(plan.cost)
                  << ", bound " << told(plan.lower_bound.value()) << '\n';
        return;
    }
    ++share.judged;
    const double optimum = reference::joint_cost(problem, judged.values);
    const double tolerance = 1e-6 * std::max(0.01, std::abs(optimum));
    CHECK(told(plan.lower_bound.value()) <= optimum + tolerance);
    CHECK(told(plan.cost) >= optimum - tolerance);
    if (!proven) {
        std::cout << "  not proven by ours: " << told(plan.cost) << ", bound " << told(plan.lower_bound.value())
                  << "; the reference's optimum " << optimum << '\n';
        return;
    }
    ++share.both;
    CHECK(told(plan.cost) <= optimum + tolerance);
}

}  // namespace

TEST_CASE("joint: cost and greatest shortfall are the optimum that GLPK proves", "[check:joint-optimum]") {
    const bool whole = std::getenv("LULLWATT_LONG") != nullptr;
    Share share;
    for (const JointFamily family : support::kJointFamilies) {
        for (int cars = 2; cars <= 4; ++cars) {
            const std::uint64_t seeds = whole ? 56 : 7;
            for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
                const int slots = whole && seed % 4 == 0 ? 48 : cars == 2 ? 24 : cars == 3 ? 16 : 12;
                INFO(support::name(family)
                     << ", " << cars << " cars, seed " << 7000 + seed << ", " << slots << " slots");
                compare(support::joint_instance(family, cars, slots, 7000 + seed), whole ? 5'000 : 1'000,
                        share);
            }
        }
    }
    std::cout << share.instances << " joint instances: " << share.judged << " proven by GLPK, " << share.ours
              << " by ours, " << share.both << " by both and equal; " << share.short_of
              << " short; headroom binds, starts cost and prices differ in " << share.telling << '\n';
    CHECK(share.instances >= 60);
    CHECK(2 * share.both >= share.instances);
    CHECK(2 * share.telling >= share.instances);
    CHECK(share.short_of >= 3);
}
