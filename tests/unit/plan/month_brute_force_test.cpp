// Every plan there is on tiny grids whose bill charges for peaks and steps, against the planner.
#include <algorithm>
#include <functional>
#include <optional>
#include <tuple>

#include "core/plan/month.hpp"
#include "core/plan/solve.hpp"
#include "support/catch.hpp"
#include "support/instances.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using support::Dice;

namespace {

Problem tiny(Dice& dice) {
    Problem problem;
    problem.per_ampere = Watts(240);
    problem.least = WholeAmps(2);
    problem.start_cost = Money(dice.between(0, 3) * 2'000);
    problem.preference = static_cast<Preference>(dice.between(0, 1));
    Instant at{Seconds{0}};
    const auto slots = dice.between(2, 6);
    int units = 0;
    for (std::int64_t t = 0; t < slots; ++t) {
        const Instant end = at + std::chrono::minutes(dice.one_in(4) ? 10 : 5);
        const WholeAmps most(static_cast<int>(dice.between(0, 4)));
        problem.slots.push_back({{at, end}, Rate(dice.between(0, 3) * 100'000'000'000), most, {}});
        if (most >= problem.least)
            units += most.count() * static_cast<int>((end - at) / std::chrono::minutes(5));
        at = end;
    }
    problem.need = WattHours(20 * dice.between(0, units + 1));
    if (dice.one_in(4)) problem.floor = WattHours(problem.need.count() / 2000);
    return problem;
}

// By the kilowatt, by the whole kilowatt begun, or in steps that grow dearer.
std::function<ExactAmount(Milliwatts)> price_of_peak(std::int64_t kind, DemandRate rate) {
    return [kind, rate](Milliwatts peak) {
        if (kind == 1) peak = Milliwatts((peak.count() + 99'999) / 100'000 * 100'000);
        ExactAmount sum = peak * rate;
        if (kind == 2 && peak > Milliwatts(500'000)) sum += Milliwatts(peak.count() - 500'000) * rate;
        return sum;
    };
}

// Intervals of a few slots each; some hours do not count.
PeakCharge any_charge(Dice& dice, const Problem& problem) {
    PeakCharge charge{
        .name = "peak", .free = Milliwatts(dice.between(0, 5) * 100'000), .intervals = {}, .cost = {}};
    for (std::size_t first = 0; first < problem.slots.size();) {
        const auto last =
            std::min<std::size_t>(problem.slots.size(), first + static_cast<std::size_t>(dice.between(1, 3)));
        Seconds length = problem.slots[last - 1].when.end - problem.slots[first].when.begin;
        if (dice.one_in(4)) length += Seconds{300};  // it reaches beyond the night
        const std::int64_t share = dice.one_in(3) ? 500'000 : kAllCounts;
        const Milliwatts house(dice.between(0, charge.free.count() / 100'000) * 100'000);
        if (!dice.one_in(5)) charge.intervals.push_back({first, last, length, house, share});
        first = last;
    }
    charge.cost = price_of_peak(dice.between(0, 2), DemandRate(dice.between(1, 40) * 5'000'000'000));
    return charge;
}

StepAccount any_account(Dice& dice, const Problem& problem, bool rising) {
    StepAccount account{.name = "block",
                        .slots = {},
                        .used = WattHours(dice.between(0, 10) * 20),
                        .steps = {},
                        .held = Rate(200'000'000'000)};
    const auto from = static_cast<std::size_t>(dice.between(0, 2));
    for (std::size_t t = 0; t < problem.slots.size(); ++t) account.slots.push_back(t >= from);
    Rate rate(dice.between(0, 2) * 100'000'000'000);
    MilliwattHours limit{};
    const auto steps = dice.between(1, 3);
    for (std::int64_t step = 0; step < steps; ++step) {
        limit += MilliwattHours(WattHours(dice.between(1, 6) * 20));
        StepAccount::Step next{limit, rate};
        if (step + 1 == steps) next.up_to.reset();
        account.steps.push_back(next);
        rate += Rate((rising ? 1 : -1) * dice.between(0, 2) * 100'000'000'000);
    }
    return account;
}

// Money in 1e-18 / 36; all by arithmetic of its own.
constexpr Wide kPerAtto = 36;

Wide peak_money(const PeakCharge& charge, const Problem& problem, const std::vector<int>& amps) {
    std::int64_t peak = charge.free.count();
    for (const CountedInterval& interval : charge.intervals) {
        Wide watt_seconds = 0;
        for (std::size_t t = interval.first; t < interval.last; ++t)
            watt_seconds += 240LL * amps[t] * problem.slots[t].when.length().count();
        if (watt_seconds == 0) continue;
        const Wide length = interval.length.count();
        const Wide top = (Wide{interval.house.count()} * length + watt_seconds * 1000) * interval.share;
        const Wide down = length * 1'000'000;
        peak = std::max(peak, static_cast<std::int64_t>((top + down - 1) / down));
    }
    return (charge.cost(Milliwatts(peak)) - charge.cost(charge.free)).atto() * kPerAtto;
}

Wide step_money(const StepAccount& account, const Problem& problem, const std::vector<int>& amps) {
    Wide taken = 0;  // tenths of W·s
    for (std::size_t t = 0; t < amps.size(); ++t) {
        if (account.slots[t]) taken += 2400LL * amps[t] * problem.slots[t].when.length().count();
    }
    Wide sum = -taken * account.held.count();
    Wide level = Wide{account.used.count()} * 36;
    for (const StepAccount::Step& step : account.steps) {
        const Wide here =
            step.up_to ? std::clamp<Wide>(Wide{step.up_to->count()} * 36 - level, 0, taken) : taken;
        sum += here * step.rate.count();
        level += here;
        taken -= here;
    }
    return sum;
}

using Key = std::tuple<std::int64_t, Wide, int, std::int64_t>;

std::optional<Key> key_of(const Problem& problem, const MonthCosts& costs, const std::vector<int>& amps) {
    std::int64_t energy = 0;  // W·s
    std::int64_t longest = 0;
    std::int64_t fits = 0;
    std::int64_t place = 0;
    Wide cost = 0;
    int starts = 0;
    const auto count = static_cast<std::int64_t>(amps.size());
    std::int64_t floor_left = problem.floor.count() * 36;  // tenths of W·s
    for (std::int64_t t = 0; t < count; ++t) {
        const auto& slot = problem.slots[static_cast<std::size_t>(t)];
        const int here = amps[static_cast<std::size_t>(t)];
        const std::int64_t length = slot.when.length().count();
        const bool usable = slot.most >= problem.least;
        if (usable && floor_left > 0) {
            const std::int64_t whole = 2400LL * slot.most.count() * length;
            if (whole < floor_left && here != slot.most.count()) return std::nullopt;
            if (2400LL * here * length < std::min<std::int64_t>(whole, floor_left)) return std::nullopt;
            floor_left -= whole;
        }
        energy += 240LL * here * length;
        cost += Wide{240LL * here * length} * slot.price.count() * 10;
        if (here > 0 && (t == 0 || amps[static_cast<std::size_t>(t - 1)] == 0)) ++starts;
        place += here * length * (problem.preference == Preference::late ? count - 1 - t : t);
        if (usable) {
            longest = std::max<std::int64_t>(longest, 240LL * problem.least.count() * length);
            fits += 240LL * slot.most.count() * length;
        }
    }
    const std::int64_t need = problem.need.count() * 36 / 10;
    if (fits >= need && (energy < need || (need > 0 ? energy >= need + longest : energy > 0)))
        return std::nullopt;
    cost += Wide{starts} * problem.start_cost.count() * 1'000'000'000'000 * kPerAtto;
    for (const PeakCharge& charge : costs.peaks) cost += peak_money(charge, problem, amps);
    for (const StepAccount& account : costs.steps) cost += step_money(account, problem, amps);
    return Key{std::max<std::int64_t>(0, need - energy), cost, starts, place};
}

std::optional<Key> best_of_all(const Problem& problem, const MonthCosts& costs) {
    std::vector<int> amps(problem.slots.size());
    std::optional<Key> best;
    const std::function<void(std::size_t)> choose = [&](std::size_t t) {
        if (t == amps.size()) {
            const auto key = key_of(problem, costs, amps);
            if (key && (!best || *key < *best)) best = key;
            return;
        }
        for (int here = 0; here <= problem.slots[t].most.count(); ++here) {
            if (here > 0 && here < problem.least.count()) continue;
            amps[t] = here;
            choose(t + 1);
        }
        amps[t] = 0;
    };
    choose(0);
    return best;
}

std::vector<int> amps_of(const Plan& plan) {
    std::vector<int> amps;
    for (const PlannedSlot& slot : plan.slots) amps.push_back(slot.amps.count());
    return amps;
}

}  // namespace

TEST_CASE("under charges for peaks the plan is the best of all there are, in the household's order") {
    int moved = 0;
    for (std::uint64_t seed = 1; seed <= 1500; ++seed) {
        CAPTURE(seed);
        Dice dice(seed);
        const Problem problem = tiny(dice);
        const MonthCosts costs{.peaks = {any_charge(dice, problem)}, .steps = {}};
        const MonthPlan found = solve_month(problem, costs);
        const auto key = key_of(problem, costs, amps_of(found.plan));
        REQUIRE(key);
        REQUIRE(*key == best_of_all(problem, costs).value());
        CHECK(found.proven);
        CHECK(found.plan.lower_bound == found.plan.objective.cost);
        const Plan without = solve(problem);
        moved += amps_of(without) != amps_of(found.plan);
    }
    CHECK(moved > 200);
}

TEST_CASE("under two charges for peaks the plan is the best of all, or says how far its bound is off") {
    int open = 0;
    for (std::uint64_t seed = 1; seed <= 600; ++seed) {
        CAPTURE(seed);
        Dice dice(seed * 7);
        const Problem problem = tiny(dice);
        const MonthCosts costs{.peaks = {any_charge(dice, problem), any_charge(dice, problem)}, .steps = {}};
        const MonthPlan found = solve_month(problem, costs);
        const auto key = key_of(problem, costs, amps_of(found.plan));
        const auto best = best_of_all(problem, costs).value();
        REQUIRE(key);
        CHECK(found.plan.lower_bound <= found.plan.objective.cost);
        CHECK(found.plan.lower_bound.atto() * kPerAtto <= std::get<1>(best));
        if (found.proven) CHECK(std::get<1>(*key) == std::get<1>(best));
        open += !found.proven;
    }
    CHECK(open < 30);
}

TEST_CASE("a price by steps is planned with the steps the plan ends in") {
    int open = 0;
    for (std::uint64_t seed = 1; seed <= 1200; ++seed) {
        CAPTURE(seed);
        Dice dice(seed * 13);
        const Problem problem = tiny(dice);
        const bool rising = !dice.one_in(3);
        MonthCosts costs{.peaks = {}, .steps = {any_account(dice, problem, rising)}};
        if (dice.one_in(3)) costs.peaks.push_back(any_charge(dice, problem));
        const MonthPlan found = solve_month(problem, costs);
        const auto key = key_of(problem, costs, amps_of(found.plan));
        const auto best = best_of_all(problem, costs).value();
        REQUIRE(key);
        // Money in whole 1e-18, as plans tell it.
        const Wide told = found.plan.objective.cost.atto() * kPerAtto;
        CHECK(told <= std::get<1>(*key));
        CHECK(std::get<1>(*key) - told < 2 * kPerAtto);
        CHECK(found.plan.lower_bound.atto() * kPerAtto <= std::get<1>(best));
        if (found.proven) CHECK(std::get<1>(*key) - std::get<1>(best) < 2 * kPerAtto);
        open += !found.proven;
    }
    CHECK(open < 60);
}
