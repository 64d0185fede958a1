// Every plan there is on tiny grids, against the planner: tapers, overheads, cars that do not wake, absences,
// price caps, and all of them at once.
#include <algorithm>
#include <array>
#include <functional>
#include <numeric>
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
    // Of every current up to the offered: what it brings until a step allows it no more, rounded up to
    // what the slot tells apart. The car does at least as well as the best of them.
    [[nodiscard]] std::int64_t gained(const Slot& slot, int offered) const {
        std::int64_t best = 0;
        for (int amps = 1; amps <= std::min(offered, takes(slot)); ++amps) {
            std::int64_t here = gain(slot, amps);
            for (const TaperStep& step : problem.taper) {
                int most = step.most.count();
                if (most == problem.missing.count() && most > problem.least.count()) --most;
                const std::int64_t ahead = tenths(step.from) + tenths(slot.driven) - net;
                if (most < amps && ahead > 0) {
                    const auto watts = std::gcd(240, static_cast<std::int64_t>(problem.overhead.count()));
                    const std::int64_t grain = watts * slot.when.length().count() * 10;
                    here = std::min(here, (ahead + grain - 1) / grain * grain);
                }
            }
            best = std::max(best, here);
        }
        return best;
    }
    [[nodiscard]] std::int64_t energy(const Slot& slot, std::int64_t net_energy) const {
        const auto watts = static_cast<std::int64_t>(problem.overhead.count());
        return net_energy > 0 ? net_energy + watts * slot.when.length().count() * 10 : 0;
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

// Whether charging all that goes from the first slot on, for a car that does not wake without a pause in any
// presence, brings the floor.
bool floor_counts(const Problem& problem, const Limits& limits) {
    Battery battery{problem};
    bool charged = false;
    bool paused = false;
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        if (battery.net >= tenths(problem.floor)) break;
        const auto gain = limits.most[t] < limits.least ? 0 : battery.gained(slot, limits.most[t]);
        if (slot.bound.kind == BoundKind::away) charged = paused = false;
        if (gain == 0) paused |= charged && !problem.wakes;
        if (gain > 0 && paused) return false;
        if (gain == 0) continue;
        charged = true;
        battery.net += gain;
    }
    return battery.net >= tenths(problem.floor);
}

using Key = std::tuple<std::int64_t, Wide, Wide, int, int, std::int64_t>;

// Energy short, energy above the cap, cost, starts, greatest current beyond the floor, Σ energy × place;
// empty where a plan breaks a rule.
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
        const std::int64_t gain = here > 0 ? battery.gained(slot, here) : 0;
        if (here > 0 && (gain == 0 || here > std::max(battery.takes(slot), limits.least)))
            return std::nullopt;
        if (here > 0 && asleep) return std::nullopt;
        bool claimed = false;
        if (floor_left > 0 && limits.most[i] >= limits.least) {
            const std::int64_t whole = battery.gained(slot, limits.most[i]);
            const int full =
                whole > 0 ? std::min(limits.most[i], std::max(battery.takes(slot), limits.least)) : 0;
            if (whole < floor_left ? here != full : gain < floor_left) return std::nullopt;
            int reach = limits.least;
            while (whole >= floor_left &&
                   (battery.gained(slot, reach) < floor_left || reach == problem.missing.count()))
                ++reach;
            claimed = whole < floor_left || here == reach;
            floor_left -= whole;
        }
        const std::int64_t energy = battery.energy(slot, gain);
        battery.net += gain;
        if (problem.price_cap && slot.price > *problem.price_cap) above += energy;
        cost += static_cast<Wide>(energy) * slot.price.count();
        if (here > 0 && !was_on) ++starts;
        if (here == 0 && was_on && !problem.wakes) asleep = true;
        was_on = here > 0;
        if (!claimed) most = std::max(most, here);
        place += energy * (problem.preference == Preference::late ? count - 1 - t : t);
    }
    const std::int64_t need = tenths(problem.need);
    if (need > 0 ? battery.net >= need + limits.beyond : battery.net > 0) return std::nullopt;
    cost += static_cast<Wide>(starts) * problem.start_cost.count() * 36'000'000 * 1'000'000;
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

TEST_CASE("a floor that a full battery does not take before an outing is charged as far as it goes") {
    Problem problem;
    problem.per_ampere = Watts(240);
    problem.least = WholeAmps(2);
    Instant at{Seconds{0}};
    for (int t = 0; t < 5; ++t) {
        const bool away = t == 2;
        problem.slots.push_back({{at, at + Seconds{3600}},
                                 Rate((5 - t) * 100'000'000'000),
                                 WholeAmps(away ? 0 : 10),
                                 {away ? BoundKind::away : BoundKind::car},
                                 t > 2 ? WattHours(4'000) : WattHours(0)});
        at += Seconds{3600};
    }
    problem.taper = {{WattHours(2'400), WholeAmps(0)}};
    problem.need = problem.floor = WattHours(4'800);
    const Plan plan = solve(problem);
    std::vector<int> amps;
    for (const PlannedSlot& slot : plan.slots) amps.push_back(slot.amps.count());
    CHECK(amps == std::vector<int>{10, 0, 0, 10, 0});
    CHECK(plan.objective.short_by == MilliwattHours{});
    CHECK(plan.slots[1].why == Why::takes_no_more);
    problem.need = problem.floor = WattHours(6'400);
    CHECK(solve(problem).objective.short_by == MilliwattHours{});
    problem.forced = 1;
    CHECK(solve(problem).objective.short_by == MilliwattHours{});
}

TEST_CASE("a slot that passes a step of the taper brings no more than the battery takes") {
    Problem problem;
    problem.per_ampere = Watts(240);
    Instant at{Seconds{0}};
    for (int t = 0; t < 24; ++t) {
        problem.slots.push_back(
            {{at, at + Seconds{300}}, Rate((24 - t) * 10'000'000'000), WholeAmps(40), {}});
        at += Seconds{300};
    }
    problem.need = WattHours(8'000);
    problem.taper = {{WattHours(4'000), WholeAmps(6)}};
    const Plan plan = solve(problem);
    // 4 kWh up to the step, and 6 A in at most 24 slots beyond it.
    CHECK(plan.delivered <= MilliwattHours(WattHours(4'000 + 24 * 120)));
    CHECK(plan.objective.short_by > MilliwattHours(WattHours(1'000)));
    // A last slot at 40 A that begins 20 Wh before the step brings what 6 A bring.
    problem.slots.resize(1);
    problem.taper = {{WattHours(20), WholeAmps(6)}};
    CHECK(solve(problem).delivered == MilliwattHours(WattHours(120)));
    problem.taper = {{WattHours(210), WholeAmps(6)}};  // rounded up to an ampere's 20 Wh
    CHECK(solve(problem).delivered == MilliwattHours(WattHours(220)));
}

TEST_CASE("a price of many digits and fine units leave the preference out before they leave any sum") {
    Problem problem;
    problem.per_ampere = Watts(241);
    problem.overhead = Watts(199);
    problem.price_cap = Rate(4'000'000'000'000'000'000);
    Instant at{Seconds{0}};
    for (int t = 0; t < 120; ++t) {
        const Seconds length{t == 0 ? 60 : 1200};
        problem.slots.push_back({{at, at + length},
                                 Rate(4'000'000'000'000'000'000 + (t % 7 - 3) * 500'000'000'000'000'000 + t),
                                 WholeAmps(32),
                                 {}});
        at += length;
    }
    problem.need = WattHours(3'000);
    const Plan plan = solve(problem);
    CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
    CHECK(plan.objective.short_by == MilliwattHours{});
    CHECK(plan.objective.above_cap == MilliwattHours{});
    CHECK(plan.lower_bound == plan.objective.cost);
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
