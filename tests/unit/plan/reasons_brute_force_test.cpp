// What the table says of each slot of a plan is true: every reason's predicate of plan.hpp, held against the
// night planned again with the slot turned over, or with what the reason blames taken away.
#include <algorithm>
#include <array>
#include <string>

#include "core/plan/charging.hpp"
#include "core/plan/evaluate.hpp"
#include "core/plan/explain.hpp"
#include "core/plan/grid.hpp"
#include "core/plan/solve.hpp"
#include "support/catch.hpp"
#include "support/instances.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using support::Dice;

namespace {

constexpr std::size_t kWords = static_cast<std::size_t>(Why::saves_nothing) + 1;

Problem small(std::uint64_t seed) {
    Dice dice(seed);
    Problem problem;
    problem.per_ampere = Watts(240);
    problem.least = WholeAmps(dice.one_in(2) ? 2 : 3);
    problem.start_cost = Money(dice.between(0, 3) * 2'000);
    problem.preference = static_cast<Preference>(dice.between(0, 2));
    problem.wakes = !dice.one_in(4);
    if (dice.one_in(5)) problem.manner = Manner::one_block;
    if (problem.least == WholeAmps(3)) problem.overhead = Watts(240);
    const std::int64_t base = dice.one_in(4) ? 10 : 0;  // else all prices are near each other
    if (dice.one_in(4)) problem.price_cap = Rate((base + 2) * 100'000'000'000);
    if (dice.one_in(4))
        problem.taper = {{WattHours(dice.between(20, 200)), WholeAmps(3)},
                         {WattHours(220), WholeAmps(dice.one_in(2) ? 1 : 0)}};
    Instant at{Seconds{0}};
    int units = 0;
    const bool steady = dice.one_in(2);
    const std::int64_t usual = dice.between(4, 8);
    for (std::int64_t t = dice.between(1, 9); t > 0; --t) {
        const Instant end = at + std::chrono::minutes(dice.one_in(8) ? 2 : 5);
        const bool away = dice.one_in(8);
        const WholeAmps most(away ? 0 : static_cast<int>(steady ? usual : dice.between(0, 8)));
        problem.slots.push_back({{at, end},
                                 Rate((base + dice.between(-1, 3)) * 100'000'000'000),
                                 most,
                                 {away ? BoundKind::away : BoundKind::car}});
        units += most >= problem.least ? most.count() : 0;
        at = end;
    }
    problem.need = WattHours(20 * dice.between(dice.one_in(10) ? 0 : 1, units + 2));
    if (dice.one_in(3)) problem.floor = WattHours(20 * dice.between(1, 12));
    problem.floor = std::min(problem.floor, problem.need);
    return problem;
}

// A plan's slots looked at once more, apart from the code that gives reasons.
struct Looked {
    std::vector<Wide> before, net, left;
    std::optional<Rate> chosen;
    bool is_short = false;
};

Looked look(const Problem& problem, const Plan& plan) {
    Looked looked;
    looked.is_short = plan.objective.short_by > MilliwattHours{};
    Wide net = 0;
    for (std::size_t t = 0; t < plan.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const Wide here = planned_intake(problem, slot, plan.slots[t].amps, net).net;
        const Wide most = slot.most < problem.least ? 0 : intake(problem, slot, slot.most, net).net;
        looked.before.push_back(net);
        looked.net.push_back(here);
        looked.left.push_back(std::max<Wide>(most - here, 0));
        net += here;
        if (here > 0 && plan.slots[t].why != Why::floor)
            looked.chosen = std::max(looked.chosen.value_or(slot.price), slot.price);
    }
    return looked;
}

Plan without_starts(Problem problem, const Plan& plan, std::size_t slot) {
    problem.start_cost = Money(0);
    const auto other = otherwise(problem, plan, slot);
    REQUIRE(other);
    return *other;
}

// No more short and no more above the cap, and less for the energy.
bool energy_is_cheaper(const Plan& other, const Plan& plan) {
    return other.objective.short_by <= plan.objective.short_by &&
           other.objective.above_cap <= plan.objective.above_cap && other.energy_cost < plan.energy_cost;
}

Objective no_preference(Objective objective) {
    objective.preference = 0;
    return objective;
}

// What contradicts the reason of slot `t`; empty: nothing does.
std::string lie(const Problem& problem, const Plan& plan, const Looked& looked, std::size_t t) {
    const Slot& slot = problem.slots[t];
    const PlannedSlot& planned = plan.slots[t];
    const bool on = planned.amps > WholeAmps(0);
    const bool driven = problem.manner == Manner::driven;
    const auto charges = [&](std::size_t u) {
        return u < plan.slots.size() && plan.slots[u].amps > WholeAmps(0);
    };
    const bool any = std::ranges::any_of(plan.slots, [](auto& one) { return one.amps > WholeAmps(0); });
    const bool inside = t > 0 && charges(t - 1) && charges(t + 1);
    const bool left_cheaper = [&] {
        for (std::size_t u = 0; u < plan.slots.size(); ++u) {
            if (looked.left[u] > 0 && problem.slots[u].price < slot.price) return true;
        }
        return false;
    }();
    const bool above_cap = problem.price_cap && slot.price > *problem.price_cap;
    const auto other = otherwise(problem, plan, t);
    // Turned over, a slot may undo the floor, or where its block begins.
    const bool comparable = problem.floor <= MilliwattHours{};
    if (comparable && other && no_preference(other->objective) < no_preference(plan.objective))
        return "the other way is better";
    if (!driven && on && planned.why != Why::in_block && planned.why != Why::tapers)
        return "a block has its own";

    switch (planned.why) {
        case Why::in_block:
            return on && !driven ? "" : "is in no block";
        case Why::tapers: {
            const Intake most = intake(problem, slot, slot.most, looked.before[t]);
            if (!on || problem.taper.empty()) return "does not taper";
            if (planned.drawn < planned.amps) return "";
            return planned.amps < slot.most && most.net <= looked.net[t] ? "" : "could take more";
        }
        case Why::floor: {
            if (!on || looked.before[t] >= thirds(problem.floor)) return "is beyond the floor";
            for (std::size_t u = 0; u < t; ++u) {
                if (looked.left[u] > 0) return "the floor waited";
            }
            return "";
        }
        case Why::no_choice:
            if (planned.amps != slot.most) return "could carry more";
            for (std::size_t u = 0; u < plan.slots.size(); ++u) {
                if (problem.slots[u].most >= problem.least && (!charges(u) || looked.left[u] > 0))
                    return "a usable slot is left";
                if (!charges(u)) continue;
                const auto without = otherwise(problem, plan, u);
                if (!without || without->objective.short_by <= plan.objective.short_by)
                    return "can be without";
            }
            return "";
        case Why::falls_short: {
            if (!on || !looked.is_short) return "nothing is short";
            std::vector<int> more;
            for (const PlannedSlot& one : plan.slots) more.push_back(one.amps.count());
            while (++more[t] <= slot.most.count()) {
                if (objective_of(problem, tally(problem, more)).short_by < plan.objective.short_by)
                    return "more helps";
            }
            return "";
        }
        case Why::short_without: {
            if (!on || !above_cap) return "is within the cap";
            if (!problem.wakes && problem.floor > MilliwattHours{}) return "";  // the floor would give way
            Problem within = problem;
            for (std::size_t u = 0; u < plan.slots.size(); ++u) {
                if (problem.slots[u].price <= *problem.price_cap) continue;
                const bool of_floor = plan.slots[u].why == Why::floor;
                within.slots[u].most = of_floor ? plan.slots[u].amps : WholeAmps(0);
            }
            return solve(within).objective.short_by > plan.objective.short_by ? "" : "it can be without";
        }
        case Why::keeps_awake:
            return left_cheaper && inside && !problem.wakes ? "" : "no pause is spared";
        case Why::dearer_rest: {
            if (!left_cheaper) return "is among the cheapest";
            Problem cheaper = problem;
            for (std::size_t u = 0; u < plan.slots.size(); ++u) {
                if (problem.slots[u].price >= slot.price) cheaper.slots[u].most = plan.slots[u].amps;
            }
            cheaper.slots[t].most = WholeAmps(0);
            return solve(cheaper).objective.short_by > MilliwattHours{} ? "" : "cheaper ones are enough";
        }
        case Why::bridges: {
            if (!left_cheaper && (!inside || planned.amps != problem.least || planned.amps == slot.most))
                return "is among the cheapest";
            const Plan moved = without_starts(problem, plan, t);
            if (left_cheaper) return energy_is_cheaper(moved, plan) ? "" : "starts do not decide";
            const bool no_dearer = moved.objective.short_by <= plan.objective.short_by &&
                                   moved.objective.above_cap <= plan.objective.above_cap &&
                                   moved.energy_cost <= plan.energy_cost;
            return no_dearer ? "" : "elsewhere it is dearer";
        }
        case Why::no_better:
            return on && left_cheaper ? "" : "is among the cheapest";
        case Why::cheapest:
            return planned.amps == slot.most && !left_cheaper ? "" : "cheaper is left";
        case Why::gentle: {
            if (!on || problem.preference != Preference::gentle || planned.amps >= slot.most)
                return "is not gentle";
            if (planned.amps == problem.least) return "";
            Problem gentler = problem;
            const FloorSlots floor = floor_slots(problem);
            for (std::size_t u = 0; u < plan.slots.size(); ++u) {
                WholeAmps most = planned.amps - WholeAmps(1);
                if (plan.slots[u].why == Why::floor)
                    most = u < floor.full ? problem.slots[u].most : std::max(most, floor.reach);
                if (plan.slots[u].amps > std::max(most, planned.amps)) return "is not the greatest";
                gentler.slots[u].most = std::min(gentler.slots[u].most, most);
            }
            return no_preference(solve(gentler).objective) == no_preference(plan.objective) ? "can be gentler"
                                                                                            : "";
        }
        case Why::fills_the_rest:
            return on && planned.amps < slot.most && !left_cheaper && !looked.is_short ? "" : "is no rest";
        case Why::away:
            return slot.bound.kind == BoundKind::away ? "" : "is there";
        case Why::below_minimum:
            return slot.most < problem.least ? "" : "has room";
        case Why::outside_block:
            return !on && !driven && any ? "" : "is outside no block";
        case Why::no_block:
            return !driven && !any && problem.need > MilliwattHours{} && !other ? "" : "a block fits";
        case Why::needs_met:
            return !on && !looked.is_short && !looked.chosen ? "" : "more than the floor is chosen";
        case Why::takes_no_more:
            return intake(problem, slot, slot.most, looked.before[t]).net == 0 ? "" : "takes more";
        case Why::would_not_wake: {
            if (on || problem.wakes || inside || charges(t + 1) || (t > 0 && charges(t - 1)))
                return "goes on";
            if (!looked.is_short && slot.price > *looked.chosen) return "is dearer";
            bool run = false;
            for (std::size_t u = t; u-- > 0 && problem.slots[u].bound.kind != BoundKind::away;)
                run |= charges(u);
            for (std::size_t u = t; u < plan.slots.size() && problem.slots[u].bound.kind != BoundKind::away;
                 ++u)
                run |= charges(u);
            return run ? "" : "is no second run";
        }
        case Why::no_less_short:
            return !on && looked.is_short && driven ? "" : "nothing is short";
        case Why::above_cap:
            return !on && above_cap && !looked.is_short && slot.price > *looked.chosen ? ""
                                                                                       : "is within the cap";
        case Why::dearer:
            return !on && !looked.is_short && slot.price > *looked.chosen ? "" : "is no dearer";
        case Why::same_price_other:
            if (on || slot.price > *looked.chosen) return "is dearer";
            return other && no_preference(other->objective) == no_preference(plan.objective)
                       ? ""
                       : "more than preference";
        case Why::start_not_worth:
            if (on || slot.price > *looked.chosen) return "is dearer";
            return energy_is_cheaper(without_starts(problem, plan, t), plan) ? "" : "starts do not decide";
        case Why::hours_not_worth: {
            if (on || slot.price >= *looked.chosen || problem.overhead == Watts(0)) return "is no cheaper";
            Problem lossless = problem;
            lossless.overhead = Watts(0);
            lossless.need = plan.delivered;
            lossless.floor = MilliwattHours{};
            return energy_is_cheaper(without_starts(lossless, plan, t), plan) ? "" : "nothing is lost";
        }
        case Why::saves_nothing:
            return !on && !looked.is_short && slot.price <= *looked.chosen ? "" : "is dearer";
    }
    return "has no reason";
}

}  // namespace

TEST_CASE("the reason of every slot is true of the plan, and of the plans with the slot turned over") {
    std::array<int, kWords> seen{};
    int short_with_room = 0;
    int short_at_most = 0;
    for (std::uint64_t seed = 1; seed <= 9'000; ++seed) {
        Problem problem = small(seed);
        const Plan plan = solve(problem);
        const bool keeps = std::ranges::find(plan.slots, Why::floor, &PlannedSlot::why) != plan.slots.end();
        if (problem.manner == Manner::driven && !problem.wakes && !keeps)
            problem.floor = {};  // where it would leave more short, it gives way
        const Looked looked = look(problem, plan);
        for (std::size_t t = 0; t < plan.slots.size(); ++t) {
            const auto why = static_cast<std::size_t>(plan.slots[t].why);
            INFO("seed " << seed << ", slot " << t << ", reason " << why);
            CHECK(lie(problem, plan, looked, t) == "");
            ++seen[why];
            const bool room = plan.slots[t].amps < problem.slots[t].most;
            if (plan.slots[t].why == Why::falls_short) ++(room ? short_with_room : short_at_most);
        }
    }
    CHECK(short_with_room >= 10);
    CHECK(short_at_most >= 10);
    for (std::size_t why = 0; why < kWords; ++why) {
        INFO("reason " << why);
        CHECK(seen[why] >= 10);
    }
}

TEST_CASE("planning again makes a reason sharper, and never takes one back") {
    int sharper = 0;
    for (std::uint64_t seed = 1; seed <= 3'000; ++seed) {
        const Problem problem = small(seed);
        const Plan plan = solve(problem);
        for (std::size_t t = 0; t < plan.slots.size(); ++t) {
            const auto other = otherwise(problem, plan, t);
            if (!other) continue;
            Plan proven = plan;
            proven.slots[t].why = proven_why(problem, plan, t, other->objective);
            if (proven.slots[t].why == plan.slots[t].why) continue;
            INFO("seed " << seed << ", slot " << t);
            CHECK((plan.slots[t].why == Why::saves_nothing || plan.slots[t].why == Why::no_better));
            CHECK(lie(problem, proven, look(problem, plan), t) == "");
            ++sharper;
        }
    }
    CHECK(sharper > 50);
}
