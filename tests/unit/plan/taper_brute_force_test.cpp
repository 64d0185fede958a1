// Every plan there is on tiny grids, against the planner: tapers, overheads, cars that do not wake, absences,
// price caps, and all of them at once.
#include <algorithm>
#include <array>
#include <functional>
#include <optional>
#include <tuple>

#include "core/plan/solve.hpp"
#include "support/catch.hpp"
#include "support/instances.hpp"
#include "support/plan_checker.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using support::Dice;

namespace {

struct With {
    bool taper = false, overhead = false, sleeper = false, absence = false, cap = false;
};
constexpr With kAll{true, true, true, true, true};

Problem tiny(std::uint64_t seed, With with) {
    Dice dice(seed);
    Problem problem;
    problem.missing = dice.one_in(4) ? WholeAmps(3) : kNotOnThePilot;
    problem.per_ampere = Watts(240);
    problem.least = WholeAmps(with.overhead ? 3 : 2);
    problem.start_cost = Money(dice.between(0, 3) * 2'000);
    problem.preference = static_cast<Preference>(dice.between(0, 2));
    if (with.overhead) problem.overhead = Watts(std::array{0, 80, 120, 240}[dice.between(0, 3)]);
    problem.wakes = !with.sleeper || dice.one_in(3);
    if (with.cap && !dice.one_in(3)) problem.price_cap = Rate(dice.between(-1, 2) * 100'000'000'000);
    Instant at{Seconds{0}};
    const auto slots = dice.between(1, 6);
    int units = 0;
    MilliwattHours driven;
    for (std::int64_t t = 0; t < slots; ++t) {
        const Instant end = at + std::chrono::minutes(5 * dice.between(1, 2));
        Slot slot{{at, end},
                  Rate(dice.between(-1, 3) * 100'000'000'000),
                  WholeAmps(static_cast<int>(dice.between(0, 5))),
                  {}};
        if (with.absence && dice.one_in(4)) {
            slot.most = WholeAmps(0);
            slot.bound = {BoundKind::away};
            driven += MilliwattHours(10'000 * dice.between(0, 4));
        }
        slot.driven = driven;
        problem.slots.push_back(slot);
        if (slot.most >= problem.least)
            units += slot.most.count() * static_cast<int>((end - at) / std::chrono::minutes(5));
        at = end;
    }
    problem.need = WattHours(10 * dice.between(0, 2 * units + 2));
    if (dice.one_in(3)) problem.floor = MilliwattHours(WattHours(problem.need.count() / 2000));
    if (with.taper) {
        MilliwattHours from = WattHours(dice.between(-10, 60));
        for (int most = static_cast<int>(dice.between(1, 5)); most >= 0;
             most -= static_cast<int>(dice.between(1, 3))) {
            problem.taper.push_back({from, WholeAmps(most)});
            from += MilliwattHours(1'000 * dice.between(1, 60));
        }
    }
    return problem;
}

// In tenths of a watt-second, so that a milliwatt-hour is 36.
std::int64_t tenths(MilliwattHours energy) { return energy.count() * 36; }

struct Battery {
    const Problem& problem;
    std::int64_t net = 0;

    [[nodiscard]] std::int64_t gain(const Slot& slot, int amps) const {
        return (240LL * amps - static_cast<std::int64_t>(problem.overhead.count())) *
               slot.when.length().count() * 10;
    }
    // The most it takes at all, by its charge.
    [[nodiscard]] int takes(const Slot& slot) const {
        int most = 99;
        for (const TaperStep& step : problem.taper) {
            if (net - tenths(slot.driven) >= tenths(step.from)) most = step.most.count();
        }
        return most == problem.missing.count() && most > problem.least.count() ? most - 1 : most;
    }
    [[nodiscard]] int drawn(const Slot& slot, int offered) const {
        const int amps = std::min(offered, takes(slot));
        return gain(slot, amps) > 0 ? amps : 0;
    }
};

struct Limits {
    explicit Limits(const Problem& problem)
        : least(problem.least.count() + (problem.least == problem.missing ? 1 : 0)) {
        for (const Slot& slot : problem.slots) {
            most.push_back(slot.most.count() - (slot.most == problem.missing ? 1 : 0));
            if (most.back() < least) continue;
            beyond = std::max(beyond, Battery{problem}.gain(slot, least));
        }
    }
    int least;
    std::vector<int> most;
    std::int64_t beyond = 0;  // a plan brings less than this above its need
};

// Whether charging all that goes from the first slot on, without a pause for a car that does not wake, brings
// the floor.
bool floor_counts(const Problem& problem, const Limits& limits) {
    Battery battery{problem};
    bool charged = false;
    bool paused = false;
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        if (battery.net >= tenths(problem.floor)) break;
        const int amps = limits.most[t] < limits.least ? 0 : battery.drawn(slot, limits.most[t]);
        if (amps == 0) paused |= charged && !problem.wakes;
        if (amps == 0 || paused) continue;
        charged = true;
        battery.net += battery.gain(slot, amps);
    }
    return battery.net >= tenths(problem.floor);
}

using Key = std::tuple<std::int64_t, Wide, Wide, int, int, std::int64_t>;

// Energy short, energy above the cap, cost, starts, greatest current, Σ energy × place; empty where a plan
// breaks a rule.
std::optional<Key> key_of(const Problem& problem, const Limits& limits, bool floor,
                          const std::vector<int>& amps) {
    Battery battery{problem};
    const auto count = static_cast<std::int64_t>(amps.size());
    std::int64_t floor_left = floor ? tenths(problem.floor) : 0;
    Wide above = 0;
    Wide cost = 0;
    int starts = 0;
    int most = 0;
    std::int64_t place = 0;
    bool was_on = false;
    bool asleep = false;
    for (std::int64_t t = 0; t < count; ++t) {
        const auto i = static_cast<std::size_t>(t);
        const Slot& slot = problem.slots[i];
        const int here = amps[i];
        if (slot.bound.kind == BoundKind::away) asleep = was_on = false;
        const int taken = here > 0 ? battery.drawn(slot, here) : 0;
        if (here > 0 && (taken == 0 || here > std::max(battery.takes(slot), limits.least)))
            return std::nullopt;
        if (here > 0 && asleep) return std::nullopt;
        if (floor_left > 0 && limits.most[i] >= limits.least) {
            const int full = battery.drawn(slot, limits.most[i]);
            const std::int64_t whole = full > 0 ? battery.gain(slot, full) : 0;
            const std::int64_t gain = taken > 0 ? battery.gain(slot, taken) : 0;
            if (whole < floor_left ? gain != whole : gain < floor_left) return std::nullopt;
            floor_left -= whole;
        }
        const Wide energy = Wide{240} * taken * slot.when.length().count();
        if (taken > 0) battery.net += battery.gain(slot, taken);
        if (problem.price_cap && slot.price > *problem.price_cap) above += energy;
        cost += energy * slot.price.count();
        if (here > 0 && !was_on) ++starts;
        if (here == 0 && was_on && !problem.wakes) asleep = true;
        was_on = here > 0;
        most = std::max(most, here);
        place +=
            taken * slot.when.length().count() * (problem.preference == Preference::late ? count - 1 - t : t);
    }
    const std::int64_t need = tenths(problem.need);
    if (need > 0 ? battery.net >= need + limits.beyond : battery.net > 0) return std::nullopt;
    cost += static_cast<Wide>(starts) * problem.start_cost.count() * 3'600'000 * 1'000'000;
    return Key{std::max<std::int64_t>(0, need - battery.net),       above, cost, starts,
               problem.preference == Preference::gentle ? most : 0, place};
}

std::optional<Key> best_of_all(const Problem& problem, const Limits& limits, bool floor) {
    std::vector<int> amps(problem.slots.size());
    std::optional<Key> best;
    const std::function<void(std::size_t)> choose = [&](std::size_t t) {
        if (t == amps.size()) {
            const auto key = key_of(problem, limits, floor, amps);
            if (key && (!best || *key < *best)) best = key;
            return;
        }
        for (int here = 0; here <= problem.slots[t].most.count(); ++here) {
            if (here > 0 && (here < problem.least.count() || here == problem.missing.count())) continue;
            amps[t] = here;
            choose(t + 1);
        }
        amps[t] = 0;
    };
    choose(0);
    return best;
}

void check_against_every_plan(const Problem& problem) {
    const Plan plan = solve(problem);
    CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
    const Limits limits(problem);
    bool floor = problem.floor > MilliwattHours{} && floor_counts(problem, limits);
    auto best = best_of_all(problem, limits, floor);
    REQUIRE(best);
    if (floor && !problem.wakes && std::get<0>(*best) > 0) {  // rather wait than lack more
        const auto waited = best_of_all(problem, limits, false);
        if (std::get<0>(*waited) < std::get<0>(*best)) {
            best = waited;
            floor = false;
        }
    }
    std::vector<int> amps;
    for (const PlannedSlot& slot : plan.slots) amps.push_back(slot.amps.count());
    const auto ours = key_of(problem, limits, floor, amps);
    REQUIRE(ours);
    CHECK(*ours == *best);
    CHECK(plan.lower_bound == plan.objective.cost);
}

void check_seeds(With with, std::uint64_t first, std::uint64_t count) {
    for (std::uint64_t seed = first; seed < first + count; ++seed) {
        INFO("seed " << seed);
        check_against_every_plan(tiny(seed, with));
    }
}

}  // namespace

TEST_CASE("a battery that tapers is planned as well as any plan there is") {
    check_seeds({.taper = true}, 1, 700);
}
TEST_CASE("what charging loses by the hour is planned as well as any plan there is") {
    check_seeds({.overhead = true}, 10'000, 500);
}
TEST_CASE("a car that does not wake gets the best single run of each presence") {
    check_seeds({.sleeper = true, .absence = true}, 20'000, 700);
}
TEST_CASE("above the price cap is only charged what would else be short, and as little as can be") {
    check_seeds({.cap = true}, 30'000, 700);
}
TEST_CASE("tapers, overheads, absences, sleepers and caps together leave no better plan") {
    check_seeds(kAll, 40'000, 1'500);
}

TEST_CASE("with all of these the value of every plug-in is what solving from there gives") {
    for (std::uint64_t seed = 50'000; seed < 50'700; ++seed) {
        Problem problem = tiny(seed, kAll);
        if (seed % 3 == 0) problem.manner = Manner::one_block;
        const auto values = solve_every_plug_in(problem);
        for (std::size_t first = 0; first < problem.slots.size(); ++first) {
            INFO("seed " << seed << ", plug-in at slot " << first);
            Problem later = problem;
            later.slots.erase(later.slots.begin(), later.slots.begin() + static_cast<std::ptrdiff_t>(first));
            const Objective solved = solve(later).objective;
            CHECK(values[first].short_by == solved.short_by);
            CHECK(values[first].above_cap == solved.above_cap);
            CHECK(values[first].cost == solved.cost);
            CHECK(values[first].starts == solved.starts);
        }
    }
}

TEST_CASE("a taper that never binds and a cap that nothing reaches leave the plan as it is") {
    for (const support::Family family : support::kFamilies) {
        for (std::uint64_t seed = 61; seed <= 63; ++seed) {
            INFO(support::name(family) << ", seed " << seed);
            const Problem plain = support::instance(family, 72, seed);
            const Plan plan = solve(plain);
            Problem same = plain;
            same.taper = {{plain.need + MilliwattHours(100'000'000), WholeAmps(0)}};
            const Plan by_table = solve(same);
            CHECK(by_table.objective == plan.objective);
            CHECK(by_table.lower_bound == plan.lower_bound);
            same = plain;
            same.price_cap = Rate(9'000'000'000'000);
            CHECK(solve(same).slots == plan.slots);
            same = plain;
            same.taper = {{MilliwattHours(plain.need.count() / 2), WholeAmps(10)}};
            const Plan tapered = solve(same);
            CHECK(tapered.objective >= plan.objective);
            CHECK(support::complaints(same, tapered) == std::vector<std::string>{});
        }
    }
}
