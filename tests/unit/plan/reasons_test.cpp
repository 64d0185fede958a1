// Why each slot is what it is, where the current, the cap, the preference and the battery each have a say.
#include "core/plan/explain.hpp"
#include "core/plan/solve.hpp"
#include "core/plan/when.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;

namespace {

struct Hour {
    int tenths = 1;  // of the currency, per kilowatt-hour
    int most = 10;
};

Problem hours(const std::vector<Hour>& row, WattHours need) {
    Problem problem;
    problem.per_ampere = Watts(240);
    Instant at{Seconds{0}};
    for (const Hour& hour : row) {
        problem.slots.push_back(
            {{at, at + Seconds{3600}}, Rate(hour.tenths * 100'000'000'000), WholeAmps(hour.most), {}});
        at += Seconds{3600};
    }
    problem.need = need;
    return problem;
}

Why why(const Problem& problem, std::size_t slot) { return solve(problem).slots[slot].why; }

}  // namespace

TEST_CASE("a cheap hour that the overhead spoils is not said to want another start") {
    Problem problem = hours({{20, 32}, {19, 6}}, WattHours(5'000));
    problem.overhead = Watts(400);
    CHECK(why(problem, 1) == Why::hours_not_worth);
}

TEST_CASE("the preference alone is said to decide where the whole run could be moved") {
    Problem problem = hours({{1}, {5}, {1}}, WattHours(2'400));
    CHECK(why(problem, 2) == Why::same_price_other);
    problem.wakes = false;
    CHECK(why(problem, 2) == Why::same_price_other);
    problem.slots[1].bound = {BoundKind::away};
    problem.slots[1].most = WholeAmps(0);
    CHECK(why(problem, 2) == Why::saves_nothing);  // in another presence it is another run
    problem = hours({{1}, {1}, {5}, {1}}, WattHours(4'800));
    problem.start_cost = Money(20'000);
    CHECK(why(problem, 3) == Why::saves_nothing);
    problem.slots[2].price = Rate(0);
    CHECK(why(problem, 3) == Why::same_price_other);  // the far end of the run could be there
    problem.slots[2].price = problem.slots[0].price;
    CHECK(why(problem, 3) == Why::same_price_other);
}

TEST_CASE("what is cheaper in money and not in starts is said to want another start") {
    Problem problem = hours({{1}, {2}, {5}, {1}}, WattHours(4'800));
    problem.start_cost = Money(900'000);
    CHECK(why(problem, 1) == Why::bridges);
    CHECK(why(problem, 3) == Why::start_not_worth);
    problem.wakes = false;
    CHECK(why(problem, 1) == Why::no_better);
    CHECK(why(problem, 3) == Why::would_not_wake);
}

TEST_CASE("the least current that spares a start is not said to be the rest of the need") {
    Problem problem =
        hours({{2, 20}, {2, 20}, {1, 20}}, WattHours(7'680));  // 32 A: 6 + 6 + 20, or 12 + 0 + 20
    problem.start_cost = Money(10'000);
    CHECK(why(problem, 0) == Why::fills_the_rest);
    CHECK(why(problem, 1) == Why::bridges);
    problem.start_cost = Money(0);
    problem.slots[1].price = Rate(300'000'000'000);
    CHECK(why(problem, 1) == Why::dearer);
}

TEST_CASE("a dear hour is said to be needed where what is left of cheaper ones is not enough") {
    Problem problem = hours({{1}, {2}}, WattHours(2'880));  // 12 A of 20 A: 6 A in each, the least
    CHECK(why(problem, 0) == Why::fills_the_rest);
    CHECK(why(problem, 1) == Why::dearer_rest);
}

TEST_CASE("every slot is said to be needed only where the need is short without it") {
    Problem problem = hours({{-1}, {-1}}, WattHours(2'400));
    problem.slots[1].when.end = problem.slots[1].when.begin + Seconds{300};  // pays, and is not needed
    CHECK(why(problem, 0) == Why::cheapest);
    CHECK(why(problem, 1) == Why::cheapest);
    problem.need = WattHours(2'500);
    CHECK(why(problem, 1) == Why::no_choice);
    problem = hours({{-1}, {-1}}, WattHours(4'800));
    CHECK(why(problem, 0) == Why::no_choice);
    problem.need = WattHours(5'000);
    CHECK(why(problem, 0) == Why::no_choice);
    problem.wakes = false;
    problem.slots.push_back(problem.slots[1]);
    problem.slots.push_back(problem.slots[1]);
    for (std::size_t t = 1; t < 4; ++t)
        problem.slots[t].when = {problem.slots[t - 1].when.end,
                                 problem.slots[t - 1].when.end + Seconds{3600}};
    problem.slots[2].most = WholeAmps(0);
    CHECK(why(problem, 0) == Why::falls_short);
    CHECK(why(problem, 3) == Why::would_not_wake);
}

TEST_CASE("a floor's hours say so, whatever they cost, and what is off beside it alone is not needed") {
    Problem problem = hours({{5}, {1}, {3}}, WattHours(3'600));
    problem.floor = WattHours(2'400);
    CHECK(why(problem, 0) == Why::floor);
    CHECK(why(problem, 1) == Why::fills_the_rest);
    CHECK(why(problem, 2) == Why::dearer);  // than what is chosen beyond the floor
    problem.need = problem.floor;
    CHECK(why(problem, 1) == Why::needs_met);
}

TEST_CASE("by hand every hour of the block is part of it, dear or cheap, and so it is where none fits") {
    Problem problem = hours({{1}, {5}, {1}}, WattHours(7'200));
    problem.manner = Manner::one_block;
    for (std::size_t slot = 0; slot < 3; ++slot) CHECK(why(problem, slot) == Why::in_block);
    problem.need = WattHours(2'400);
    CHECK(why(problem, 2) == Why::outside_block);
    problem = hours({{1}, {1, 0}}, WattHours(4'800));
    problem.manner = Manner::one_block;
    CHECK(why(problem, 0) == Why::no_block);
    CHECK(why(problem, 1) == Why::below_minimum);
}

TEST_CASE("an hour a full battery no longer needs is the preference's, unless the need is not met") {
    Problem problem = hours({{1}, {1}}, WattHours(2'400));
    problem.taper = {{WattHours(2'400), WholeAmps(0)}};
    CHECK(why(problem, 1) == Why::same_price_other);
    problem.need = WattHours(4'000);
    CHECK(why(problem, 1) == Why::takes_no_more);
}

TEST_CASE("a gentle plan says so in every hour") {
    Problem problem = hours({{1, 32}, {1, 32}, {1, 32}}, WattHours(7'200));
    problem.preference = Preference::gentle;
    for (std::size_t slot = 0; slot < 3; ++slot) CHECK(why(problem, slot) == Why::gentle);
}

TEST_CASE("what is charged above the price cap is said to be short without it") {
    Problem problem = hours({{1}, {3}, {3}}, WattHours(4'800));
    problem.price_cap = Rate(200'000'000'000);
    CHECK(why(problem, 0) == Why::cheapest);
    CHECK(why(problem, 1) == Why::short_without);
    CHECK(why(problem, 2) == Why::saves_nothing);  // it alone would be another start
}

TEST_CASE("by hand an hour in which the battery takes less than is set is said to taper") {
    Problem problem = hours({{1, 32}, {1, 32}, {1, 32}}, WattHours(7'680 + 1'920));
    problem.manner = Manner::one_block;
    problem.taper = {{WattHours(7'680), WholeAmps(8)}};
    const Plan plan = solve(problem);
    CHECK(plan.slots[1].amps == WholeAmps(32));
    CHECK(plan.slots[1].drawn == WholeAmps(8));
    CHECK(plan.slots[1].why == Why::tapers);
}

TEST_CASE(
    "a car that does not wake charges at once in each presence, and is not plugged in while it is away") {
    Problem problem = hours({{5}, {1, 0}, {1}, {5}}, WattHours(4'800));
    problem.wakes = false;
    problem.slots[1].bound = {BoundKind::away};
    const When when = answer_when(problem);
    CHECK(when.at_once.objective.short_by == MilliwattHours{});
    CHECK(when.at_once.slots[0].why == Why::floor);
    CHECK(when.at_once.slots[2].why == Why::floor);
    CHECK(when.latest_in_time == 2);
    problem.slots[0].most = WholeAmps(0);
    problem.need = WattHours(2'400);
    problem.slots[1].price = Rate(0);
    CHECK(answer_when(problem).latest_cheapest == 2);
    problem.slots.erase(problem.slots.begin() + 2, problem.slots.end());
    CHECK(answer_when(problem).latest_in_time == 0);
}

TEST_CASE(
    "the best plan that charges in a slot tells whether a start, the overhead or the preference spares it") {
    const auto proven = [](const Problem& problem, std::size_t slot) {
        const Plan plan = solve(problem);
        const auto other = otherwise(problem, plan, slot);
        REQUIRE(other);
        return proven_why(problem, plan, slot, other->objective);
    };
    Problem problem = hours({{1}, {5}, {1}}, WattHours(2'400));
    problem.start_cost = Money(20'000);
    CHECK(proven(problem, 2) == Why::same_price_other);  // all of it could be there
    problem = hours({{1}, {1}, {5}, {1}}, WattHours(4'800));
    CHECK(why(problem, 3) == Why::saves_nothing);
    problem = hours({{1}, {2}, {9}, {1, 6}, {1, 6}}, WattHours(4'800));
    problem.start_cost = Money(900'000);
    CHECK(why(problem, 1) == Why::no_better);
    CHECK(proven(problem, 1) == Why::bridges);
    problem = hours({{20, 32}, {19, 6}}, WattHours(5'000));
    problem.overhead = Watts(400);
    CHECK(proven(problem, 1) == Why::hours_not_worth);
}
