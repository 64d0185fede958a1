// The joint planner against GLPK and CBC: the model's builder (joint_milp.cpp) shares only the JointProblem
// with the planner, and a third piece (support/joint_checker.cpp) re-checks every plan.
#include <cmath>
#include <cstdlib>
#include <iostream>

#include "core/plan/joint.hpp"
#include "core/plan/solve.hpp"
#include "reference/plan/joint_milp.hpp"
#include "reference/plan/judge.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_checker.hpp"
#include "support/joint_instances.hpp"
#include "support/sanitized.hpp"

using namespace lullwatt;
using reference::Judge;
using reference::Outcome;
using support::JointFamily;

namespace {

bool whole() { return std::getenv("LULLWATT_LONG") != nullptr; }

struct Share {
    int instances = 0, judged = 0, not_proven = 0, not_asked = 0, ours = 0, both = 0, short_of = 0,
        telling = 0;
};

double told(ExactAmount amount) { return static_cast<double>(amount.atto()) / 1e18; }

double greatest_share(const plan::JointPlan& plan) {
    const plan::Shortfall& most = plan.shortfalls.front();
    return static_cast<double>(most.missing.count()) / static_cast<double>(most.need.count());
}

// Were starts free, some car would pay less for its energy while the others keep to the plan.
bool starts_matter(const plan::JointProblem& problem, const plan::JointPlan& plan) {
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        plan::Beside alone =
            plan::beside(problem, plan, i, {problem.slots.front().begin, problem.slots.back().end});
        alone.problem.start_cost = Money(0);
        if (plan::solve(alone.problem).energy_cost < alone.plan.energy_cost) return true;
    }
    return false;
}

// Headroom binds in the plan, starts matter, and prices differ by slot.
bool telling(const plan::JointProblem& problem, const plan::JointPlan& plan) {
    bool differ = false;
    for (const plan::JointCar& car : problem.cars) {
        for (const plan::CarSlot& slot : car.slots) differ |= slot.price != car.slots[0].price;
    }
    return support::headroom_binds(problem, plan) && differ && starts_matter(problem, plan);
}

// A patient judge's planner is stopped by the same clock, the other by counting.
plan::Budget budget(const Judge& judge) {
    if (!judge.patient()) return {};
    const double begin = reference::processor_seconds();
    const auto past = [begin](double seconds) { return reference::processor_seconds() - begin > seconds; };
    return {.nodes = 10'000'000,
            .stop = [past] { return past(Judge::kEach); },
            .hurry = [past] { return past(Judge::kEach / 2); }};
}

void judge_shortfall(const plan::JointProblem& problem, const plan::JointPlan& plan, Judge& judge) {
    const auto least = judge.ask(reference::joint_shortfall_milp(problem));
    const double ours = greatest_share(plan);
    if (least.outcome == Outcome::proven) {
        const double judged = reference::joint_shortfall(problem, least.values);
        CHECK(ours >= judged - 1e-6);
        if (plan.shortfalls_proven) CHECK(ours <= judged + 1e-6);
    } else if (least.outcome == Outcome::stopped) {
        std::cout << "  greatest share not proven by the reference: ours " << ours << ", its best "
                  << least.best.value_or(1) << ", bound " << least.bound << '\n';
        CHECK(ours >= least.bound - 1e-6);
        if (least.best && plan.shortfalls_proven) CHECK(ours <= *least.best + 1e-6);
    }
}

void judge_cost(const plan::JointProblem& problem, const plan::JointPlan& plan, Judge& judge, Share& share) {
    std::vector<MilliwattHours> short_by;
    for (const plan::CarPlan& car : plan.cars) short_by.push_back(car.short_by.missing);
    const auto judged = judge.ask(reference::joint_milp(problem, short_by));
    const bool proven = plan.cost_proven() && plan.shortfalls_proven;
    const double cost = told(plan.cost);
    const double bound = told(plan.lower_bound.value());
    CHECK(judged.outcome != Outcome::infeasible);
    share.not_asked += judged.outcome == Outcome::not_asked;
    if (judged.outcome == Outcome::stopped) {
        ++share.not_proven;
        std::cout << "  not proven by the reference: " << reference::both(judged, cost, bound) << '\n';
        CHECK(reference::not_the_worse(judged, cost, bound));
    }
    if (judged.outcome != Outcome::proven) return;
    ++share.judged;
    const double optimum = reference::joint_cost(problem, judged.values);
    CHECK(bound <= optimum + reference::tolerance(optimum));
    CHECK(cost >= optimum - reference::tolerance(optimum));
    if (proven) {
        ++share.both;
        CHECK(cost <= optimum + reference::tolerance(optimum));
    } else {
        std::cout << "  not proven by ours: " << cost << ", bound " << bound << "; the reference's optimum "
                  << optimum << '\n';
    }
}

void compare(const plan::JointProblem& problem, Judge& judge, Share& share) {
    const plan::JointPlan plan = plan::solve_joint(problem, budget(judge), solver::cbc());
    CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
    ++share.instances;
    share.telling += telling(problem, plan);
    share.ours += plan.cost_proven() && plan.shortfalls_proven;
    if (plan.shortfalls.front().missing > MilliwattHours{}) {
        ++share.short_of;
        judge_shortfall(problem, plan, judge);
    }
    judge_cost(problem, plan, judge, share);
}

// What GLPK finishes in a second; a patient judge gets longer nights.
int slots_of(bool patient, int cars, std::uint64_t seed) {
    if (!patient) return 32 - 4 * cars;
    return seed % 16 == 8 ? 96 : seed % 4 == 0 ? 48 : 24;
}

// More of those where starts matter.
std::uint64_t part_of(JointFamily family) {
    return family == JointFamily::restless ? 4 : family == JointFamily::hourly ? 2 : 1;
}

}  // namespace

TEST_CASE("joint: cost and greatest shortfall are the optimum that GLPK or CBC proves",
          "[check:joint-optimum]") {
    Judge judge(whole(), 1'000);
    Share share;
    const std::uint64_t seeds = whole() ? 22 : tests::kSanitized ? 1 : 3;
    for (std::uint64_t seed = 1; seed <= 4 * seeds; ++seed) {
        for (const JointFamily family : support::kJointFamilies) {
            if (seed > part_of(family) * seeds) continue;
            for (int cars = 2; cars <= 4; ++cars) {
                const int slots = slots_of(whole(), cars, seed);
                INFO(support::name(family)
                     << ", " << cars << " cars, seed " << 7000 + seed << ", " << slots << " slots");
                compare(support::joint_instance(family, cars, slots, 7000 + seed), judge, share);
            }
        }
    }
    std::cout << share.instances << " joint instances: " << share.judged << " proven by the reference, "
              << share.not_proven << " not proven by it, " << share.not_asked << " not asked; " << share.ours
              << " proven by ours, " << share.both << " by both and equal; " << share.short_of
              << " short; headroom binds, starts matter and prices differ in " << share.telling << '\n';
    CHECK(share.instances >= (whole() ? 500 : tests::kSanitized ? 20 : 60));
    CHECK(2 * share.both >= share.instances);
    CHECK(2 * share.telling >= share.instances);
    CHECK(share.short_of >= (tests::kSanitized ? 1 : 3));
}
