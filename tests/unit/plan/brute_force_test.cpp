// Every plan there is on tiny grids, against the planner: all four objectives, floors, blocks, every plug-in.
#include <algorithm>
#include <functional>
#include <optional>
#include <tuple>

#include "core/plan/exact.hpp"
#include "core/plan/solve.hpp"
#include "support/catch.hpp"
#include "support/instances.hpp"
#include "support/plan_checker.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using support::Dice;

namespace {

// A handful of slots of 2 W-scale amounts, so that every pattern can be tried. With a current that does not
// exist there are more, so that it lies below, between and above others.
Problem tiny(std::uint64_t seed, WholeAmps missing = kNotOnThePilot) {
    Dice dice(seed);
    Problem problem;
    problem.missing = missing;
    problem.per_ampere = Watts(240);
    problem.least = WholeAmps(2);
    problem.start_cost = Money(dice.between(0, 3) * 2'000);
    problem.preference = static_cast<Preference>(dice.between(0, 2));
    Instant at{Seconds{0}};
    const auto slots = dice.between(1, 6);
    int units = 0;
    for (std::int64_t t = 0; t < slots; ++t) {
        const Instant end = at + std::chrono::minutes(5 * dice.between(1, 2));
        const WholeAmps most(static_cast<int>(dice.between(0, missing == kNotOnThePilot ? 4 : 6)));
        problem.slots.push_back({{at, end}, Rate(dice.between(-1, 3) * 100'000'000'000), most, {}});
        if (most >= problem.least)
            units += most.count() * static_cast<int>((end - at) / std::chrono::minutes(5));
        at = end;
    }
    problem.need = WattHours(20 * dice.between(0, units + 2));
    problem.floor =
        dice.one_in(2) ? MilliwattHours{} : MilliwattHours(WattHours(problem.need.count() / 2000));
    return problem;
}

using Key = std::tuple<std::int64_t, Wide, int, std::int64_t, std::int64_t>;

// Energy short, cost, starts, and the preference in its own words: Σ energy × place, or greatest current
// beyond the floor first.
std::optional<Key> key_of(const Problem& problem, const std::vector<int>& amps) {
    std::int64_t energy = 0;  // W·s
    std::int64_t longest = 0;
    std::int64_t fits = 0;
    std::int64_t place = 0;
    Wide cost = 0;
    int starts = 0;
    int most = 0;
    const auto count = static_cast<std::int64_t>(amps.size());
    const int least = problem.least.count() + (problem.least == problem.missing ? 1 : 0);
    std::int64_t floor_left = problem.floor.count() * 36;  // tenths of W·s
    for (std::int64_t t = 0; t < count; ++t) {
        const auto& slot = problem.slots[static_cast<std::size_t>(t)];
        const int here = amps[static_cast<std::size_t>(t)];
        const std::int64_t length = slot.when.length().count();
        const int limit = slot.most.count() - (slot.most == problem.missing ? 1 : 0);
        const bool usable = limit >= least;
        bool claimed = false;
        if (usable && floor_left > 0) {  // at once: the most, or as much as the floor still asks
            const std::int64_t whole = 240LL * limit * length * 10;
            if (whole < floor_left && here != limit) return std::nullopt;
            if (240LL * here * length * 10 < std::min<std::int64_t>(whole, floor_left)) return std::nullopt;
            const auto too_little = [&](int current) { return 240LL * current * length * 10 < floor_left; };
            int reach = least;
            while (whole >= floor_left && (too_little(reach) || reach == problem.missing.count())) ++reach;
            claimed = whole < floor_left || here == reach;
            floor_left -= whole;
        }
        energy += 240LL * here * length;
        cost += static_cast<Wide>(240LL * here * length) * slot.price.count();
        if (here > 0 && (t == 0 || amps[static_cast<std::size_t>(t - 1)] == 0)) ++starts;
        if (!claimed) most = std::max(most, here);
        place += here * length * (problem.preference == Preference::late ? count - 1 - t : t);
        if (usable) {
            longest = std::max<std::int64_t>(longest, 240LL * least * length);
            fits += 240LL * limit * length;
        }
    }
    const std::int64_t need = problem.need.count() * 36 / 10;
    if (fits >= need && (energy < need || (need > 0 ? energy >= need + longest : energy > 0)))
        return std::nullopt;
    cost += static_cast<Wide>(starts) * problem.start_cost.count() * 3'600'000 * 1'000'000;
    const std::int64_t first = problem.preference == Preference::gentle ? most : 0;
    return Key{std::max<std::int64_t>(0, need - energy), cost, starts, first, place};
}

std::vector<int> amps_of(const Plan& plan) {
    std::vector<int> amps;
    for (const PlannedSlot& slot : plan.slots) amps.push_back(slot.amps.count());
    return amps;
}

std::optional<Key> best_of_all(const Problem& problem) {
    std::vector<int> amps(problem.slots.size());
    std::optional<Key> best;
    const std::function<void(std::size_t)> choose = [&](std::size_t t) {
        if (t == amps.size()) {
            const auto key = key_of(problem, amps);
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
    const auto ours = key_of(problem, amps_of(plan));
    REQUIRE(ours);
    const auto best = best_of_all(problem);
    REQUIRE(best);
    CHECK(*ours == *best);
    CHECK(plan.lower_bound == plan.objective.cost);
}

Problem suffix(Problem problem, std::size_t first) {
    problem.slots.erase(problem.slots.begin(), problem.slots.begin() + static_cast<std::ptrdiff_t>(first));
    return problem;
}

}  // namespace

TEST_CASE("no plan of a tiny grid is better in shortfall, cost, starts and preference, in this order") {
    for (std::uint64_t seed = 1; seed <= 1500; ++seed) {
        INFO("seed " << seed);
        check_against_every_plan(tiny(seed));
    }
}

TEST_CASE("a current that does not exist is never chosen, and nothing is lost beside it") {
    int beside = 0;
    for (const WholeAmps missing : {WholeAmps(2), WholeAmps(3), WholeAmps(4), WholeAmps(5)}) {
        for (std::uint64_t seed = 1; seed <= 200; ++seed) {
            const Problem problem = tiny(seed, missing);
            INFO("seed " << seed << ", without " << missing.count() << " A");
            check_against_every_plan(problem);
            Problem all = problem;
            all.missing = kNotOnThePilot;
            beside += solve(all).objective.cost != solve(problem).objective.cost;
            Problem block = problem;
            block.manner = Manner::one_block;
            const Plan plan = solve(block);
            CHECK(support::complaints(block, plan) == std::vector<std::string>{});
        }
    }
    CHECK(beside > 100);  // it matters
}

TEST_CASE("52 A is not planned where 53 A is free, because no duty cycle of the pilot grants it") {
    Problem problem;
    problem.per_ampere = Watts(240);
    const Instant at{Seconds{0}};
    problem.slots = {{{at, at + Seconds{3600}}, Rate(100'000'000'000), WholeAmps(53), {}}};
    problem.need = WattHours(240 * 52);
    CHECK(amps_of(solve(problem)) == std::vector<int>{53});
    problem.slots[0].most = WholeAmps(52);
    const Plan plan = solve(problem);
    CHECK(amps_of(plan) == std::vector<int>{51});
    CHECK(plan.objective.short_by == MilliwattHours(240'000));
    problem.manner = Manner::one_block;
    CHECK(amps_of(solve(problem)) == std::vector<int>{51});
}

TEST_CASE("the value of every plug-in is what solving from there gives") {
    for (const Manner manner : {Manner::driven, Manner::one_block}) {
        for (std::uint64_t seed = 1; seed <= 700; ++seed) {
            Problem problem = tiny(seed, seed % 2 == 0 ? kNotOnThePilot : WholeAmps(3));
            problem.manner = manner;
            const auto values = solve_every_plug_in(problem);
            for (std::size_t first = 0; first < problem.slots.size(); ++first) {
                INFO("seed " << seed << ", plug-in at slot " << first);
                const Objective solved = solve(suffix(problem, first)).objective;
                CHECK(values[first].short_by == solved.short_by);
                CHECK(values[first].cost == solved.cost);
                CHECK(values[first].starts == solved.starts);
            }
        }
    }
}

TEST_CASE("a floor above all that fits leaves every plug-in short by what does not fit") {
    Problem problem;
    problem.per_ampere = Watts(240);
    const Instant at{Seconds{0}};
    problem.slots = {{{at, at + Seconds{3600}}, Rate(100'000'000'000), WholeAmps(10), {}},
                     {{at + Seconds{3600}, at + Seconds{7200}}, Rate(0), WholeAmps(16), {}}};
    problem.need = problem.floor = WattHours(10'000);
    const auto values = solve_every_plug_in(problem);
    CHECK(values[0].short_by == MilliwattHours(WattHours(10'000 - 26 * 240)));
    CHECK(values[1].short_by == MilliwattHours(WattHours(10'000 - 16 * 240)));
    CHECK(solve(problem).objective.short_by == values[0].short_by);
}

TEST_CASE(
    "by hand no start and current that nobody has to stop is better, and a floor waits only to lack less") {
    for (std::uint64_t seed = 1; seed <= 1500; ++seed) {
        Problem problem = tiny(seed, seed % 2 == 0 ? kNotOnThePilot : WholeAmps(3));
        problem.manner = Manner::one_block;
        INFO("seed " << seed);
        using Worth = std::tuple<std::int64_t, Wide>;
        std::optional<Worth> best;
        std::optional<Worth> first;
        const auto count = problem.slots.size();
        for (std::size_t begin = 0; begin < count && problem.need > MilliwattHours{}; ++begin) {
            std::optional<Worth> here;
            for (int amps = problem.least.count(); amps <= problem.slots[begin].most.count(); ++amps) {
                if (amps == problem.missing.count()) continue;
                std::int64_t left = problem.need.count() * 36;  // in tenths of a watt-second
                Wide cost = static_cast<Wide>(problem.start_cost.count()) * 36'000'000 * 1'000'000;
                bool fits = true;
                for (std::size_t t = begin; t < count && left > 0 && fits; ++t) {
                    const Slot& slot = problem.slots[t];
                    fits = slot.most.count() >= amps;
                    const std::int64_t whole = static_cast<std::int64_t>(problem.per_ampere.count()) * amps *
                                               slot.when.length().count() * 10;
                    const std::int64_t energy = std::min(whole, left);
                    left -= energy;
                    cost += static_cast<Wide>(energy) * slot.price.count();
                }
                const Worth worth{left, cost};
                if (fits && (!here || worth < *here)) here = worth;
            }
            if (here && (!best || *here < *best)) best = here;
            if (!first) first = here;
        }
        const Objective ours = solve(problem).objective;
        if (!best) {
            CHECK(ours.short_by == std::max(problem.need, MilliwattHours{}));
            continue;
        }
        const bool waits = problem.floor <= MilliwattHours{} || std::get<0>(*best) < std::get<0>(*first);
        const Worth& due = waits ? *best : *first;
        CHECK(ours.short_by.count() == (std::get<0>(due) + 35) / 36);
        CHECK(ours.cost.atto() == floor_quotient(std::get<1>(due), 36));
    }
}

TEST_CASE("by hand a plan is one run of one current") {
    for (std::uint64_t seed = 1; seed <= 500; ++seed) {
        Problem problem = tiny(seed);
        problem.manner = Manner::one_block;
        INFO("seed " << seed);
        const Plan plan = solve(problem);
        CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
        CHECK(plan.objective.starts <= 1);
        int current = 0;
        for (const int amps : amps_of(plan)) {
            CHECK((amps == 0 || current == 0 || amps == current));
            current = std::max(current, amps);
        }
    }
}

TEST_CASE("on a real night's grid every plug-in is worth what solving from there gives") {
    for (const support::Family family : support::kFamilies) {
        Problem problem = support::instance(family, 60, 77);
        problem.missing = WholeAmps(12);
        const auto values = solve_every_plug_in(problem);
        for (std::size_t first = 0; first < problem.slots.size(); first += 7) {
            INFO(support::name(family) << ", plug-in at slot " << first);
            const Objective solved = solve(suffix(problem, first)).objective;
            CHECK(values[first].short_by == solved.short_by);
            CHECK(values[first].cost == solved.cost);
            CHECK(values[first].starts == solved.starts);
        }
    }
}

TEST_CASE(
    "a week's plan costs what the value of its first plug-in is, though one is searched and one tabled") {
    for (const support::Family family : support::kFamilies) {
        for (const std::uint64_t seed : {31, 34}) {
            INFO(support::name(family) << ", seed " << seed);
            Problem problem = support::instance(family, 1200, seed);
            if (seed == 34) problem.missing = WholeAmps(13);
            const Plan plan = solve(problem);
            CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
            CHECK(plan.lower_bound == plan.objective.cost);
            const Objective valued = solve_every_plug_in(problem).front();
            CHECK(plan.objective.cost == valued.cost);
            CHECK(plan.objective.starts == valued.starts);
        }
    }
}

TEST_CASE("gentle: what the floor claims at once does not set the current of the rest") {
    Problem problem;
    problem.per_ampere = Watts(240);
    problem.preference = Preference::gentle;
    for (int hour = 0; hour < 5; ++hour) {
        const Instant begin{Seconds{3600 * hour}};
        const Rate price(hour == 0 ? 400'000'000'000 : 100'000'000'000);
        problem.slots.push_back({{begin, begin + Seconds{3600}}, price, WholeAmps(32), {}});
    }
    problem.floor = WattHours(240 * 32);
    SECTION("the floor ends with a slot") {
        problem.need = problem.floor + MilliwattHours(WattHours(240 * 40));
        CHECK(amps_of(solve(problem)) == std::vector<int>{32, 10, 10, 10, 10});
    }
    SECTION("beyond it its last slot is as gentle as the others") {
        problem.floor = WattHours(240 * 20);
        problem.slots[0].price = problem.slots[1].price;
        problem.need = WattHours(240 * 60);
        CHECK(amps_of(solve(problem)) == std::vector<int>{20, 10, 10, 10, 10});
    }
}
