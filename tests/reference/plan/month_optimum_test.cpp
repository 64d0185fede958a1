// The planner under a charge for the peak and a price by steps, against GLPK with a column for the peak and
// one for each step.
#include <cmath>
#include <cstdlib>
#include <iostream>

#include "core/plan/month.hpp"
#include "core/plan/solve.hpp"
#include "reference/plan/milp.hpp"
#include "support/catch.hpp"
#include "support/instances.hpp"
#include "support/sanitized.hpp"

using namespace lullwatt;
using plan::MonthCosts;
using support::Dice;
using support::Family;

namespace {

constexpr int kLimitMs = 3'000;

// Numbers that come out whole, so that what the planner rounds up is nothing.
MonthCosts costs_of(const plan::Problem& problem, Dice& dice, bool with_peak, bool with_steps) {
    MonthCosts costs;
    if (with_peak) {
        plan::PeakCharge charge{.name = "peak", .free = Milliwatts(4'000'000), .intervals = {}, .cost = {}};
        for (std::size_t t = 0; t < problem.slots.size(); t += 3) {
            const std::size_t last = std::min(t + 3, problem.slots.size());
            charge.intervals.push_back({t, last, Seconds{900}, Milliwatts(dice.between(3, 39) * 100'000),
                                        dice.one_in(4) ? 500'000 : plan::kAllCounts});
        }
        const DemandRate rate(dice.between(1, 12) * 1'000'000'000'000);
        charge.cost = [rate](Milliwatts peak) { return peak * rate; };
        costs.peaks.push_back(charge);
    }
    if (with_steps) {
        plan::StepAccount account{.name = "block",
                                  .slots = {},
                                  .used = WattHours(dice.between(0, 20) * 1000),
                                  .steps = {},
                                  .held = Rate(0)};
        const auto from = static_cast<std::size_t>(dice.between(0, 8));
        for (std::size_t t = 0; t < problem.slots.size(); ++t) account.slots.push_back(t >= from);
        account.steps = {{WattHours(dice.between(1, 8) * 1000), Rate(20'000'000'000)},
                         {WattHours(dice.between(9, 25) * 1000), Rate(50'000'000'000)},
                         {std::nullopt, Rate(120'000'000'000)}};
        costs.steps.push_back(account);
    }
    return costs;
}

reference::Milp with_month(const plan::Problem& problem, const MonthCosts& costs) {
    reference::Milp m = reference::milp(problem);
    const auto add_row = [&](double low, double high) {
        m.rows.push_back({low, high});
        return static_cast<int>(m.rows.size()) - 1;
    };
    const auto add_column = [&](double high, double cost) {
        m.columns.push_back({0, high, cost, false});
        return static_cast<int>(m.columns.size()) - 1;
    };
    constexpr double kFree = std::numeric_limits<double>::infinity();
    for (std::size_t t = 0; t < problem.slots.size(); ++t) m.columns[t].whole = true;
    for (const plan::PeakCharge& charge : costs.peaks) {
        const double per_kilowatt =
            static_cast<double>(
                (charge.cost(Milliwatts(2'000'000)) - charge.cost(Milliwatts(1'000'000))).atto()) /
            1e18;
        const int raised =
            add_column(100, per_kilowatt * reference::kMoneyUnit);  // kilowatts above what is free
        for (const plan::CountedInterval& interval : charge.intervals) {
            const double share = static_cast<double>(interval.share) / 1e6;
            const double house = static_cast<double>(interval.house.count()) / 1e6;
            const int row = add_row(-kFree, static_cast<double>(charge.free.count()) / 1e6 - share * house);
            for (std::size_t t = interval.first; t < interval.last; ++t) {
                const double part = static_cast<double>(problem.slots[t].when.length().count()) /
                                    static_cast<double>(interval.length.count());
                m.terms.push_back(
                    {row, static_cast<int>(t), share * part * problem.per_ampere.count() / 1000});
            }
            m.terms.push_back({row, raised, -1});
        }
    }
    for (const plan::StepAccount& account : costs.steps) {
        const int row = add_row(0, 0);
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            if (!account.slots[t]) continue;
            const double hours = static_cast<double>(problem.slots[t].when.length().count()) / 3600;
            m.terms.push_back({row, static_cast<int>(t), problem.per_ampere.count() / 1000 * hours});
        }
        double used = static_cast<double>(account.used.count()) / 1e6;
        double begin = 0;
        for (const auto& step : account.steps) {
            const double end = step.up_to ? static_cast<double>(step.up_to->count()) / 1e6 : 1e4;
            const double left = std::max(0.0, end - std::max(begin, used));
            const int column =
                add_column(left, static_cast<double>(step.rate.count()) / 1e12 * reference::kMoneyUnit);
            m.terms.push_back({row, column, -1});
            begin = end;
        }
    }
    return m;
}

double value_of(const reference::Milp& model, const std::vector<double>& values) {
    double sum = 0;
    for (std::size_t i = 0; i < values.size(); ++i) sum += model.columns[i].cost * values[i];
    return sum / reference::kMoneyUnit;
}

struct Share {
    int instances = 0, judged = 0, ours = 0, matters = 0;
};

void compare(bool with_peak, bool with_steps, std::uint64_t seeds, Share& share) {
    for (const Family family : {Family::time_of_use, Family::noise, Family::hourly, Family::steady}) {
        for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
            INFO(support::name(family) << ", seed " << seed);
            plan::Problem problem = support::instance(family, 18, 8000 + seed);
            problem.per_ampere = Watts(240);
            problem.need = MilliwattHours(problem.need.count() / 1'000'000 * 1'000'000);
            if (problem.need <= MilliwattHours{}) continue;
            Dice dice(8000 + seed);
            const MonthCosts costs = costs_of(problem, dice, with_peak, with_steps);
            const plan::MonthPlan ours = plan::solve_month(problem, costs);
            if (ours.plan.objective.short_by > MilliwattHours{}) continue;
            ++share.instances;
            share.ours += ours.proven;
            std::vector<WholeAmps> plain;
            for (const auto& slot : plan::solve(problem).slots) plain.push_back(slot.drawn);
            for (const auto& charge : costs.peaks)
                share.matters += plan::reached(charge, problem, plain) > charge.free;
            const double told = static_cast<double>(ours.plan.objective.cost.atto()) / 1e18;
            const double bound = static_cast<double>(ours.plan.lower_bound.atto()) / 1e18;
            const reference::Milp model = with_month(problem, costs);
            const auto judged = reference::solve_glpk(model, kLimitMs);
            if (judged.outcome != reference::Outcome::proven) continue;
            ++share.judged;
            const double optimum = value_of(model, judged.values);
            const double tolerance = 1e-6 * std::max(0.01, std::abs(optimum));
            CHECK(bound <= optimum + tolerance);
            if (ours.proven) CHECK(std::abs(told - optimum) <= tolerance);
        }
    }
}

std::uint64_t seeds() { return std::getenv("LULLWATT_LONG") != nullptr ? 40 : tests::kSanitized ? 1 : 4; }

}  // namespace

TEST_CASE("one car under a charge for the peak: the cost is the optimum that GLPK proves",
          "[check:peak-optimum]") {
    Share share;
    compare(true, false, seeds(), share);
    std::cout << share.instances << " nights with a charge for the peak: " << share.judged
              << " proven by GLPK, " << share.ours
              << " by us; without the charge the peak would be raised in " << share.matters << '\n';
    if (!tests::kSanitized) CHECK(share.judged >= static_cast<int>(seeds()));
    CHECK(share.ours == share.instances);
    CHECK(2 * share.matters >= share.instances);
}

TEST_CASE("one car under a price by steps: the cost is the optimum that GLPK proves",
          "[check:step-optimum]") {
    Share share;
    compare(false, true, seeds(), share);
    std::cout << share.instances << " nights with a price by steps: " << share.judged << " proven by GLPK, "
              << share.ours << " by us\n";
    if (!tests::kSanitized) CHECK(share.judged >= static_cast<int>(seeds()));
    CHECK(2 * share.ours >= share.instances);
}
