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
    std::optional<Rate> chosen;
    std::optional<Rate> left;  // the cheapest that is not charged; with a taper not known here
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const int amps = plan.slots[t].amps.count();
        if (amps > 0 && plan.slots[t].why != Why::floor)
            chosen = std::max(chosen.value_or(slot.price), slot.price);
        if (most_of(problem, slot) >= least_of(problem) && amps < most_of(problem, slot))
            left = std::min(left.value_or(slot.price), slot.price);
    }
    const bool is_short = plan.objective.short_by > MilliwattHours{};
    const bool by_hand = problem.manner == plan::Manner::one_block;
    const bool tapers = !problem.taper.empty();
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const auto& planned = plan.slots[t];
        const bool on = planned.amps > WholeAmps(0);
        const bool at_most = planned.amps.count() == most_of(problem, slot);
        const bool above_cap = problem.price_cap && slot.price > *problem.price_cap;
        const bool left_cheaper = tapers || (left && *left < slot.price);
        const bool none_cheaper = tapers || !left || *left >= slot.price;
        const bool no_dearer = chosen && slot.price <= *chosen;
        const auto says = [&](bool holds, const char* text) {
            if (!holds) wrong.push_back("slot " + std::to_string(t) + ": " + text);
        };
        const auto is_on = [&] { says(on && !by_hand, "does not charge by the plan's choice"); };
        const auto is_off = [&] { says(!on && !by_hand, "is not off by the plan's choice"); };
        switch (planned.why) {
            case Why::in_block:
                says(on && by_hand, "is in no block");
                break;
            case Why::tapers:
                says(on && tapers, "does not taper");
                break;
            case Why::floor:
                is_on();
                says(problem.floor > MilliwattHours{}, "has no floor");
                break;
            case Why::no_choice:
                is_on();
                says(at_most && (tapers || !left), "is not needed with all others");
                break;
            case Why::falls_short:
                is_on();
                says(is_short, "is not short");
                break;
            case Why::short_without:
                is_on();
                says(above_cap, "is within the cap");
                break;
            case Why::keeps_awake:
                says(!problem.wakes, "wakes");
                [[fallthrough]];
            case Why::dearer_rest:
            case Why::no_better:
                is_on();
                says(left_cheaper && !is_short, "is among the cheapest");
                break;
            case Why::bridges:
                is_on();
                says((left_cheaper || !at_most) && !is_short, "has nothing as cheap beside it");
                break;
            case Why::cheapest:
                is_on();
                says(at_most && none_cheaper, "is not among the cheapest at its most");
                break;
            case Why::gentle:
                is_on();
                says(problem.preference == plan::Preference::gentle, "is not gentle");
                says(!at_most && none_cheaper, "is not a low current among the cheapest");
                break;
            case Why::fills_the_rest:
                is_on();
                says(!at_most && none_cheaper && !is_short, "is no rest");
                break;
            case Why::away:
                says(!on && slot.bound.kind == plan::BoundKind::away, "is not away");
                break;
            case Why::below_minimum:
                says(!on && most_of(problem, slot) < least_of(problem), "has room");
                break;
            case Why::outside_block:
            case Why::no_block:
                says(!on && by_hand, "is not set by hand");
                says((plan.objective.starts > 0) == (planned.why == Why::outside_block), "miscounts blocks");
                break;
            case Why::needs_met:
                says(!on && !chosen && !is_short, "says nothing is needed");
                break;
            case Why::takes_no_more:
                says(!on && tapers && (is_short || problem.floor > MilliwattHours{}),
                     "has a battery that takes it");
                break;
            case Why::would_not_wake:
                is_off();
                says(!problem.wakes && (is_short || no_dearer), "is not a cheap slot of a car that sleeps");
                break;
            case Why::no_less_short:
                is_off();
                says(is_short, "is not short");
                break;
            case Why::above_cap:
                says(above_cap, "is within the cap");
                [[fallthrough]];
            case Why::dearer:
                is_off();
                says(chosen && !no_dearer && !is_short, "is not dearer than what is chosen");
                break;
            case Why::hours_not_worth:
                says(problem.overhead > Watts(0), "loses nothing");
                [[fallthrough]];
            case Why::same_price_other:
            case Why::start_not_worth:
            case Why::saves_nothing:
                is_off();
                says(no_dearer && !is_short, "is dearer than what is chosen");
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
