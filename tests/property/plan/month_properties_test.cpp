// Properties of plans whose bill charges for peaks and steps, on random nights (seeds fixed; printed on
// failure).
#include <rapidcheck.h>

#include "core/plan/evaluate.hpp"
#include "core/plan/month.hpp"
#include "core/plan/solve.hpp"
#include "support/catch.hpp"
#include "support/instances.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;

namespace {

Problem any_problem() {
    const auto family = support::kFamilies[*rc::gen::inRange<std::size_t>(0, support::kFamilies.size())];
    Problem problem =
        support::instance(family, *rc::gen::inRange(1, 40), *rc::gen::inRange<std::uint64_t>(0, 1'000'000));
    problem.floor = MilliwattHours{};
    return problem;
}

PeakCharge any_charge(const Problem& problem) {
    PeakCharge charge{
        .name = "peak", .free = Milliwatts(*rc::gen::inRange(1, 8) * 1'000'000), .intervals = {}, .cost = {}};
    const auto length = *rc::gen::inRange<std::size_t>(1, 5);
    for (std::size_t t = 0; t < problem.slots.size(); t += length) {
        const std::size_t last = std::min(t + length, problem.slots.size());
        charge.intervals.push_back({t, last, problem.slots[last - 1].when.end - problem.slots[t].when.begin,
                                    Milliwatts(*rc::gen::inRange<std::int64_t>(0, charge.free.count())),
                                    kAllCounts});
    }
    const DemandRate rate(*rc::gen::inRange<std::int64_t>(1, 20) * 1'000'000'000'000);
    const bool whole = *rc::gen::inRange(0, 2) == 0;
    charge.cost = [rate, whole](Milliwatts peak) {
        if (whole) peak = Milliwatts((peak.count() + 999'999) / 1'000'000 * 1'000'000);
        return peak * rate;
    };
    return charge;
}

}  // namespace

TEST_CASE("a plan under peaks keeps every limit, brings the need and tells its peak and its bound truly") {
    REQUIRE(rc::check([] {
        Problem problem = any_problem();
        if (*rc::gen::inRange(0, 4) == 0) problem.manner = Manner::one_block;
        if (*rc::gen::inRange(0, 4) == 0) problem.wakes = false;
        problem.preference = static_cast<Preference>(*rc::gen::inRange(0, 3));
        MonthCosts costs{.peaks = {any_charge(problem)}, .steps = {}};
        if (*rc::gen::inRange(0, 3) == 0) costs.peaks.push_back(any_charge(problem));
        const MonthPlan month = solve_month(problem, costs);
        const Objective without = solve(problem).objective;
        RC_ASSERT(month.plan.objective.short_by == without.short_by);
        RC_ASSERT(month.plan.objective.cost >= without.cost);
        RC_ASSERT(month.plan.lower_bound <= month.plan.objective.cost);
        RC_ASSERT(month.proven == (month.plan.lower_bound == month.plan.objective.cost));
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            const WholeAmps amps = month.plan.slots[t].amps;
            RC_ASSERT(amps == WholeAmps(0) || (amps >= problem.least && amps <= month.problem.slots[t].most &&
                                               amps != problem.missing));
            RC_ASSERT(month.problem.slots[t].most <= problem.slots[t].most);
        }
        for (std::size_t c = 0; c < costs.peaks.size(); ++c)
            RC_ASSERT(month.peaks[c].after == reached(costs.peaks[c], problem, drawn_of(month.plan)));
    }));
}

TEST_CASE("more that is free, and more headroom, never makes a proven plan under a peak worse") {
    REQUIRE(rc::check([] {
        const Problem problem = any_problem();
        MonthCosts costs{.peaks = {any_charge(problem)}, .steps = {}};
        const MonthPlan before = solve_month(problem, costs);
        MonthCosts freer = costs;
        freer.peaks[0].free += Milliwatts(*rc::gen::inRange(1, 4) * 1'000'000);
        const MonthPlan after = solve_month(problem, freer);
        RC_ASSERT(after.plan.objective.short_by == before.plan.objective.short_by);
        RC_ASSERT(after.plan.lower_bound <= before.plan.objective.cost);
        if (after.proven) RC_ASSERT(after.plan.objective.cost <= before.plan.objective.cost);
        Problem wider = problem;
        const auto slot = *rc::gen::inRange<std::size_t>(0, problem.slots.size());
        if (wider.slots[slot].most < wider.least || before.plan.objective.short_by > MilliwattHours{}) return;
        wider.slots[slot].most = wider.slots[slot].most + WholeAmps(*rc::gen::inRange(1, 20));
        const MonthPlan roomier = solve_month(wider, costs);
        RC_ASSERT(roomier.plan.lower_bound <= before.plan.objective.cost);
        if (roomier.proven) RC_ASSERT(roomier.plan.objective.cost <= before.plan.objective.cost);
    }));
}

TEST_CASE("charges that cost nothing change nothing") {
    REQUIRE(rc::check([] {
        const Problem problem = any_problem();
        MonthCosts costs{.peaks = {any_charge(problem)}, .steps = {}};
        costs.peaks[0].cost = [](Milliwatts) { return ExactAmount{}; };
        const Plan plain = solve(problem);
        const MonthPlan month = solve_month(problem, costs);
        // Reasons say less beside a peak.
        RC_ASSERT(drawn_of(month.plan) == drawn_of(plain));
        RC_ASSERT(month.plan.objective == plain.objective);
        RC_ASSERT(month.proven);
    }));
}
