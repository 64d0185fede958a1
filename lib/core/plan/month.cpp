#include "core/plan/month.hpp"

#include <algorithm>
#include <compare>
#include <set>
#include <utility>

#include "core/plan/evaluate.hpp"
#include "core/plan/peak_plan.hpp"
#include "core/plan/reasons.hpp"
#include "core/plan/solve.hpp"

namespace lullwatt::plan {
namespace {

constexpr std::size_t kMostChoices = 64;  // of a step for each account; ours

// What a step begins with. REQUIRES: step is one of the account's.
Wide begin_thirds(const StepAccount& account, std::size_t step) {
    return step == 0 ? 0 : thirds(*account.steps[step - 1].up_to);
}

std::size_t step_at(const StepAccount& account, Wide used) {
    std::size_t step = 0;
    while (step + 1 < account.steps.size() && used >= thirds(*account.steps[step].up_to)) ++step;
    return step;
}

// From nothing to `used` along the steps; below nothing along the first.
Wide along(const StepAccount& account, Wide used) {
    const std::size_t last = step_at(account, used);
    Wide sum = 0;
    for (std::size_t step = 0; step < last; ++step) {
        sum += (begin_thirds(account, step + 1) - begin_thirds(account, step)) *
               account.steps[step].rate.count();
    }
    return sum + (used - begin_thirds(account, last)) * account.steps[last].rate.count();
}

// What the car's energy costs by the account's steps.
Wide by_steps(const StepAccount& account, Wide taken) {
    const Wide used = thirds(account.used);
    return along(account, used + taken) - along(account, used);
}

// The same were all of it priced by the line of one step.
Wide line_offset(const StepAccount& account, std::size_t step) {
    const Wide used = thirds(account.used);
    const Wide begin = begin_thirds(account, step);
    return along(account, begin) + (used - begin) * account.steps[step].rate.count() - along(account, used);
}

Wide taken_thirds(const StepAccount& account, const Problem& problem, const std::vector<WholeAmps>& drawn) {
    Wide units = 0;
    for (std::size_t t = 0; t < drawn.size(); ++t) {
        if (account.slots[t]) units += Wide{drawn[t].count()} * minutes(problem.slots[t]);
    }
    return units * thirds_per_ampere_minute(problem);
}

bool rises(const StepAccount& account) {
    return std::ranges::is_sorted(account.steps, {}, &StepAccount::Step::rate);
}

using Choice = std::vector<std::size_t>;  // a step for each account

Problem priced(Problem problem, const std::vector<StepAccount>& accounts, const Choice& choice) {
    for (std::size_t i = 0; i < accounts.size(); ++i) {
        const Rate more = accounts[i].steps[choice[i]].rate - accounts[i].held;
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            if (accounts[i].slots[t]) problem.slots[t].price += more;
        }
    }
    return problem;
}

// The household's order, without the preference of plans at different prices.
bool better(const Objective& a, const Objective& b) { return a < b; }

class BySteps {
  public:
    BySteps(const Problem& problem, const MonthCosts& costs) : problem_(problem), costs_(costs) {}

    MonthPlan best() {
        const auto& accounts = costs_.steps;
        Choice choice;
        for (const StepAccount& account : accounts) choice.push_back(step_at(account, thirds(account.used)));
        bool settled = false;
        while (!settled && seen_.insert(choice).second) {
            const Choice ended = plan_at(choice);
            settled = ended == choice;
            choice = ended;
        }
        const bool all_rise = std::ranges::all_of(accounts, rises);
        if (settled && all_rise) return finish(*greatest_bound_);
        const bool every = plan_every();
        if (!every) return finish(std::nullopt);
        return finish(all_rise ? greatest_bound_ : least_bound_);
    }

  private:
    // Plans at the lines of these steps, and tells in which steps the plan ends.
    Choice plan_at(const Choice& choice) {
        const auto& accounts = costs_.steps;
        const Problem at = priced(problem_, accounts, choice);
        PeakPlan found = solve_under_peaks(at, costs_.peaks);
        const auto drawn = drawn_of(found.plan);
        Wide offset = 0;
        Wide month = 0;
        Choice ended;
        for (std::size_t i = 0; i < accounts.size(); ++i) {
            const Wide taken = taken_thirds(accounts[i], problem_, drawn);
            const StepAccount::Step& line = accounts[i].steps[choice[i]];
            offset += line_offset(accounts[i], choice[i]);
            month += by_steps(accounts[i], taken) - taken * line.rate.count();
            // On a limit both steps are true of it.
            const Wide used = thirds(accounts[i].used) + taken;
            const bool on_limit = line.up_to && used == thirds(*line.up_to);
            ended.push_back(on_limit ? choice[i] : step_at(accounts[i], used));
        }
        for (std::size_t c = 0; c < costs_.peaks.size(); ++c)
            month += costs_.peaks[c].added_thirds(found.peaks[c]);
        const Wide bound = found.bound + offset;
        greatest_bound_ = std::max(greatest_bound_.value_or(bound), bound);
        least_bound_ = std::min(least_bound_.value_or(bound), bound);

        Plan plan = std::move(found.plan);
        plan.month_cost = whole_amount(month);
        plan.objective.cost += plan.month_cost;
        if (best_ && !better(plan.objective, best_->plan.objective)) return ended;
        best_ = Best{std::move(plan), std::move(found.peaks), at};
        return ended;
    }

    // Every choice of steps there is; whether those are few enough.
    bool plan_every() {
        std::size_t count = 1;
        for (const StepAccount& account : costs_.steps) {
            count *= account.steps.size();
            if (count > kMostChoices) return false;
        }
        for (std::size_t number = 0; number < count; ++number) {
            Choice choice;
            std::size_t rest = number;
            for (const StepAccount& account : costs_.steps) {
                choice.push_back(rest % account.steps.size());
                rest /= account.steps.size();
            }
            if (seen_.insert(choice).second) plan_at(choice);
        }
        return true;
    }

    MonthPlan finish(std::optional<Wide> bound) {
        Plan plan = std::move(best_->plan);
        const auto drawn = drawn_of(plan);
        MonthPlan month{.problem = within_peaks(best_->problem, plan, costs_.peaks, best_->peaks)};
        give_reasons(settable(month.problem), plan, costs_.peaks.empty() ? Together::yes : Together::unknown);
        // Without a bound over all steps: each account at its lowest rate, which no plan goes below.
        if (!bound) bound = lowest_bound();
        plan.lower_bound = std::min(whole_amount(*bound), plan.objective.cost);
        month.proven = plan.lower_bound == plan.objective.cost;
        for (std::size_t c = 0; c < costs_.peaks.size(); ++c) {
            const PeakCharge& charge = costs_.peaks[c];
            month.peaks.push_back(
                {charge.free, best_->peaks[c], whole_amount(charge.added_thirds(best_->peaks[c]))});
        }
        for (const StepAccount& account : costs_.steps) {
            const Wide taken = taken_thirds(account, problem_, drawn);
            const Wide used = thirds(account.used);
            // What ends on a limit has not begun the step behind it.
            const std::size_t after = taken > 0 ? step_at(account, used + taken - 1) : step_at(account, used);
            month.steps.push_back(
                {step_at(account, used), after, whole_energy(taken), whole_amount(by_steps(account, taken))});
        }
        month.plan = std::move(plan);
        return month;
    }

    Wide lowest_bound() {
        Problem lowest = problem_;
        for (const StepAccount& account : costs_.steps) {
            const Rate least = std::ranges::min(account.steps, {}, &StepAccount::Step::rate).rate;
            for (std::size_t t = 0; t < lowest.slots.size(); ++t) {
                if (account.slots[t]) lowest.slots[t].price += least - account.held;
            }
        }
        return solve_under_peaks(lowest, costs_.peaks).bound;
    }

    struct Best {
        Plan plan;
        std::vector<Milliwatts> peaks;
        Problem problem;
    };

    const Problem& problem_;
    const MonthCosts& costs_;
    std::set<Choice> seen_;
    std::optional<Best> best_;
    std::optional<Wide> greatest_bound_, least_bound_;
};

}  // namespace

MonthCosts from_slot(const MonthCosts& costs, std::size_t slot) {
    MonthCosts later = costs;
    for (PeakCharge& charge : later.peaks) charge = from_slot(std::move(charge), slot);
    for (StepAccount& account : later.steps)
        account.slots.erase(account.slots.begin(), account.slots.begin() + static_cast<std::ptrdiff_t>(slot));
    return later;
}

MonthPlan solve_month(const Problem& problem, const MonthCosts& costs) {
    if (costs.none()) return {.problem = problem, .plan = solve(problem)};
    return BySteps(problem, costs).best();
}

Wide month_thirds(const Problem& problem, const MonthCosts& costs, const std::vector<WholeAmps>& drawn) {
    Wide sum = 0;
    for (const PeakCharge& charge : costs.peaks) sum += charge.added_thirds(reached(charge, problem, drawn));
    for (const StepAccount& account : costs.steps) {
        const Wide taken = taken_thirds(account, problem, drawn);
        sum += by_steps(account, taken) - taken * account.held.count();
    }
    return sum;
}

}  // namespace lullwatt::plan
