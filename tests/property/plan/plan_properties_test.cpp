// Properties of every plan, on random nights (seeds fixed; printed on failure).
#include <rapidcheck.h>

#include "core/plan/solve.hpp"
#include "support/catch.hpp"
#include "support/instances.hpp"
#include "support/plan_checker.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;

namespace {

Problem any_problem() {
    const auto family = support::kFamilies[*rc::gen::inRange<std::size_t>(0, support::kFamilies.size())];
    const int slots = *rc::gen::inRange(1, 80);
    return support::instance(family, slots, *rc::gen::inRange<std::uint64_t>(0, 1'000'000));
}

using Measure = std::tuple<MilliwattHours, ExactAmount, int>;
Measure measure(const Problem& problem) {
    const Objective objective = solve(problem).objective;
    return {objective.short_by, objective.cost, objective.starts};
}

}  // namespace

TEST_CASE("every plan is feasible and tells the truth") {
    REQUIRE(rc::check([] {
        Problem problem = any_problem();
        problem.preference = static_cast<Preference>(*rc::gen::inRange(0, 3));
        if (*rc::gen::inRange(0, 4) == 0) problem.manner = Manner::one_block;
        RC_ASSERT(support::complaints(problem, solve(problem)).empty());
    }));
}

TEST_CASE("more headroom never makes a driven plan worse") {
    REQUIRE(rc::check([] {
        Problem problem = any_problem();
        problem.floor =
            MilliwattHours{};  // a floor is charged at once with what headroom there is, dear or not
        const Measure before = measure(problem);
        const auto slot = *rc::gen::inRange<std::size_t>(0, problem.slots.size());
        // Room below the least stays unusable; lengths of usable slots bound the overshoot, so keep those.
        if (problem.slots[slot].most < problem.least) return;
        problem.slots[slot].most = problem.slots[slot].most + WholeAmps(*rc::gen::inRange(1, 20));
        RC_ASSERT(measure(problem) <= before);
    }));
}

TEST_CASE("a later ready-by never makes a driven plan worse") {
    REQUIRE(rc::check([] {
        const Problem longer = any_problem();
        Problem shorter = longer;
        if (shorter.slots.size() < 2) return;
        shorter.slots.pop_back();
        shorter.floor = MilliwattHours{};
        Problem same = longer;
        same.floor = MilliwattHours{};
        RC_ASSERT(measure(same) <= measure(shorter));
    }));
}

TEST_CASE("scaling prices and start cost scales the cost and changes no ampere") {
    REQUIRE(rc::check([] {
        const Problem problem = any_problem();
        Problem dearer = problem;
        for (Slot& slot : dearer.slots) slot.price = slot.price * 3;
        dearer.start_cost = dearer.start_cost * 3;
        const Plan one = solve(problem);
        const Plan three = solve(dearer);
        RC_ASSERT(three.slots == one.slots);
        RC_ASSERT(three.objective.short_by == one.objective.short_by);
        // Both are cut to whole attos.
        const auto apart = three.objective.cost.atto() - 3 * one.objective.cost.atto();
        RC_ASSERT((apart >= -3 && apart <= 3));
    }));
}

TEST_CASE("the bound of a driven plan is its cost, so nothing is cheaper") {
    REQUIRE(rc::check([] {
        const Plan plan = solve(any_problem());
        RC_ASSERT(plan.lower_bound == plan.objective.cost);
    }));
}

TEST_CASE("a plan is the same each time") {
    REQUIRE(rc::check([] {
        const Problem problem = any_problem();
        RC_ASSERT(solve(problem).slots == solve(problem).slots);
    }));
}
