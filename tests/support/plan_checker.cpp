#include "support/plan_checker.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

namespace lullwatt::support {
namespace {

using plan::Problem;
using plan::Slot;
using plan::Why;

// Long doubles are enough: amounts are compared to a millionth of a currency unit.
struct Sums {
    long double milliwatt_hours = 0;
    long double net = 0;
    long double above_cap = 0;
    long double money = 0;
    int starts = 0;
    std::vector<int> drawn;
};

long double milliwatt_hours(const Problem& problem, const Slot& slot, int amps) {
    return static_cast<long double>(problem.per_ampere.count()) * amps *
           static_cast<long double>(slot.when.length().count()) / 3.6L;
}

// Without the overhead.
long double net(const Problem& problem, const Slot& slot, int amps) {
    const long double lost = static_cast<long double>(problem.overhead.count()) *
                             static_cast<long double>(slot.when.length().count()) / 3.6L;
    return milliwatt_hours(problem, slot, amps) - lost;
}

// What the slot can really carry, and the least it can carry at all.
int most_of(const Problem& problem, const Slot& slot) {
    return slot.most == problem.missing ? slot.most.count() - 1 : slot.most.count();
}
int least_of(const Problem& problem) {
    return problem.least == problem.missing ? problem.least.count() + 1 : problem.least.count();
}

// What is told apart in a slot, in milliwatt-hours.
long double grain(const Problem& problem, const Slot& slot) {
    const auto watts =
        std::gcd(std::llround(problem.per_ampere.count()), std::llround(problem.overhead.count()));
    return static_cast<long double>(slot.when.length().count()) * static_cast<long double>(watts) / 3.6L;
}

struct Took {
    int amps = 0;
    long double net = 0;
};

// What the battery takes of an offered current once `so_far` was charged: of all currents up to it the best,
// each until a step allows it no more, rounded up to what the slot tells apart.
Took taken(const Problem& problem, const Slot& slot, int offered, long double so_far) {
    if (offered == 0) return {};
    if (problem.taper.empty()) return {offered, net(problem, slot, offered)};
    Took took{.amps = offered};
    const auto until = [&](const plan::TaperStep& step) {
        const auto from = static_cast<long double>(step.from.count() + slot.driven.count());
        const long double least = grain(problem, slot);
        return std::ceil((from - 0.01L - so_far) / least) * least;
    };
    for (const plan::TaperStep& step : problem.taper) {
        if (until(step) < 0.01L) took.amps = std::min(offered, step.most.count());
    }
    for (int amps = 1; amps <= took.amps; ++amps) {
        long double here = net(problem, slot, amps);
        for (const plan::TaperStep& step : problem.taper) {
            if (step.most.count() < amps && until(step) >= 0.01L) here = std::min(here, until(step));
        }
        took.net = std::max(took.net, here);
    }
    return took.net > 0 ? took : Took{};
}

Sums add_up(const Problem& problem, const plan::Plan& plan) {
    Sums sums;
    int before = 0;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const auto [amps, net_energy] = taken(problem, slot, plan.slots[t].amps.count(), sums.net);
        const long double energy =
            amps > 0 ? net_energy - net(problem, slot, 0) : 0;  // what is lost does not ask the current
        sums.drawn.push_back(amps);
        sums.milliwatt_hours += energy;
        sums.net += net_energy;
        if (problem.price_cap && slot.price > *problem.price_cap) sums.above_cap += energy;
        sums.money += energy / 1e6L * static_cast<long double>(slot.price.count()) / 1e12L;
        if (amps > 0 && before == 0) ++sums.starts;
        before = amps;
    }
    return sums;
}

long double money_of(ExactAmount amount) { return static_cast<long double>(amount.atto()) / 1e18L; }

void check_reasons(const Problem& problem, const plan::Plan& plan, std::vector<std::string>& wrong) {
    std::optional<Rate> dearest;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        if (plan.slots[t].amps > WholeAmps(0) && plan.slots[t].why != Why::floor) {
            dearest = std::max(dearest.value_or(problem.slots[t].price), problem.slots[t].price);
        }
    }
    const bool dearest_beyond_floor = dearest.has_value();
    // A plan that is all floor is measured by the floor.
    for (std::size_t t = 0; t < plan.slots.size() && !dearest_beyond_floor; ++t) {
        if (plan.slots[t].amps > WholeAmps(0))
            dearest = std::max(dearest.value_or(problem.slots[t].price), problem.slots[t].price);
    }
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const auto& planned = plan.slots[t];
        const bool on = planned.amps > WholeAmps(0);
        const auto lie = [&](const char* text) {
            wrong.push_back("slot " + std::to_string(t) + ": " + text);
        };
        switch (planned.why) {
            case Why::dearer:
                if (on || !dearest || slot.price <= *dearest) lie("is not dearer than what is paid");
                break;
            case Why::below_minimum:
                if (on || most_of(problem, slot) >= least_of(problem)) lie("has room");
                break;
            case Why::same_price_other:
            case Why::apart:
                if (on || !dearest || slot.price != *dearest) lie("does not cost what is paid at most");
                break;
            case Why::start_not_worth:
            case Why::hours_not_worth:
                if (on || !dearest || slot.price > *dearest) lie("is dearer than what is paid");
                if (planned.why == Why::hours_not_worth && problem.overhead == Watts(0)) lie("loses nothing");
                break;
            case Why::needs_met:
                if (on || dearest) lie("says nothing is needed");
                break;
            case Why::cheapest:
            case Why::no_choice:
                if (planned.amps.count() != most_of(problem, slot)) lie("does not charge at its most");
                break;
            case Why::fills_the_rest:
                if (!on || planned.amps.count() == most_of(problem, slot))
                    lie("does not charge with less than its most");
                break;
            case Why::gentle:
                if (!on || problem.preference != plan::Preference::gentle) lie("is not gentle");
                break;
            case Why::short_without:
                if (!on || !problem.price_cap || slot.price <= *problem.price_cap) lie("is within the cap");
                break;
            case Why::bridges:
            case Why::floor:
                if (!on) lie("does not charge");
                break;
            case Why::tapers:
                if (!on || problem.taper.empty()) lie("does not taper");
                break;
            case Why::away:
                if (on || slot.bound.kind != plan::BoundKind::away) lie("is not away");
                break;
            case Why::above_cap:
                if (on || !problem.price_cap || slot.price <= *problem.price_cap) lie("is within the cap");
                break;
            case Why::would_not_wake:
                if (on || problem.wakes || !dearest || slot.price > *dearest)
                    lie("is not a cheap slot of a car that does not wake");
                break;
            case Why::takes_no_more:
                if (on || problem.taper.empty() ||
                    (plan.objective.short_by == MilliwattHours{} && problem.floor == MilliwattHours{}))
                    lie("has a battery that takes it");
                break;
            case Why::outside_block:
                if (on || problem.manner != plan::Manner::one_block) lie("is in no block");
                break;
        }
    }
}

}  // namespace

std::vector<std::string> complaints(const Problem& problem, const plan::Plan& plan) {
    std::vector<std::string> wrong;
    const auto expect = [&](bool holds, const char* text) {
        if (!holds) wrong.emplace_back(text);
    };
    expect(plan.slots.size() == problem.slots.size(), "one entry per slot");
    if (!wrong.empty()) return wrong;
    long double longest = 0;
    long double fits = 0;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const WholeAmps amps = plan.slots[t].amps;
        const Slot& slot = problem.slots[t];
        expect(amps == WholeAmps(0) || (amps >= problem.least && amps <= slot.most),
               "0 or least to most in every slot");
        expect(amps != problem.missing, "no current that does not exist");
        if (most_of(problem, slot) < least_of(problem)) continue;
        longest = std::max(longest, net(problem, slot, least_of(problem)));
        fits += net(problem, slot, most_of(problem, slot));
    }
    const Sums sums = add_up(problem, plan);
    const auto need = static_cast<long double>(problem.need.count());
    const bool block = problem.manner == plan::Manner::one_block;
    // Whether a need that would fit is met cannot be told from sums where the battery or a pause ends it.
    const bool sums_tell = problem.taper.empty() && problem.wakes;
    for (std::size_t t = 0; t < plan.slots.size(); ++t)
        expect(plan.slots[t].drawn.count() == sums.drawn[t], "drawn as told");
    bool asleep = false;
    for (std::size_t t = 0; t < plan.slots.size() && !problem.wakes; ++t) {
        const bool on = plan.slots[t].amps > WholeAmps(0);
        expect(!(on && asleep), "no second run of a car that does not wake");
        if (problem.slots[t].bound.kind == plan::BoundKind::away)
            asleep = false;
        else if (t > 0 && plan.slots[t - 1].amps > WholeAmps(0) && !on)
            asleep = true;
    }
    if (!block) {
        expect(std::abs(static_cast<long double>(plan.delivered.count()) - sums.milliwatt_hours) <= 1,
               "delivered as told");
        expect(std::abs(money_of(plan.energy_cost) - sums.money) < 1e-9L, "energy cost as told");
        expect(std::abs(static_cast<long double>(plan.lost.count()) - sums.milliwatt_hours + sums.net) <= 1,
               "lost as told");
        expect(std::abs(static_cast<long double>(plan.objective.above_cap.count()) - sums.above_cap) <= 1,
               "above the cap as told");
        if (sums_tell && fits >= need)
            expect(plan.objective.short_by == MilliwattHours{}, "nothing short where it fits");
        if (plan.objective.short_by == MilliwattHours{}) {
            expect(sums.net >= need - 0.5L, "the need is met");
            expect(need == 0 || sums.net < need + longest, "less than one slot's least above the need");
        }
    }
    if (block && fits > 0 && sums_tell &&
        problem.overhead == Watts(0)) {  // the car itself stops once its need is in
        expect(static_cast<long double>(plan.delivered.count()) <= std::min(need, sums.milliwatt_hours) + 1,
               "a block brings no more than is needed");
        long double left = need;
        long double money = 0;
        for (std::size_t t = 0; t < plan.slots.size(); ++t) {
            const long double energy =
                std::min(left, milliwatt_hours(problem, problem.slots[t], plan.slots[t].amps.count()));
            money += energy / 1e6L * static_cast<long double>(problem.slots[t].price.count()) / 1e12L;
            left -= energy;
        }
        expect(std::abs(money_of(plan.energy_cost) - money) < 1e-9L, "a block's energy cost as told");
    }
    const long double missing = std::max(0.0L, need - sums.net);
    expect(std::abs(static_cast<long double>(plan.objective.short_by.count()) - missing) <= 1,
           "shortfall as told");
    expect(plan.objective.starts == sums.starts, "starts as told");
    const long double starts = static_cast<long double>(problem.start_cost.count()) / 1e6L * sums.starts;
    expect(std::abs(money_of(plan.objective.cost) - money_of(plan.energy_cost) - starts) < 1e-9L,
           "cost is energy and starts");
    expect(plan.lower_bound <= plan.objective.cost, "the bound is not above the cost");
    check_reasons(problem, plan, wrong);
    return wrong;
}

}  // namespace lullwatt::support
