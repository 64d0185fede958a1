// Joint plans with cars that the joint programme does not know: a taper, an overhead, no waking, a price cap,
// a point set by hand. They are planned by pricing and search, and every plan of tiny problems is tried
// against them.
#include <algorithm>
#include <chrono>
#include <functional>
#include <iostream>
#include <tuple>

#include "core/plan/charging.hpp"
#include "core/plan/evaluate.hpp"
#include "core/plan/grid.hpp"
#include "core/plan/joint.hpp"
#include "core/plan/joint_rest.hpp"
#include "core/plan/solve.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_any_checker.hpp"
#include "support/joint_by_hand.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using support::amps;
using support::car;
using support::quarters;
using support::row;

namespace {

using A = std::vector<int>;

// One car's night, and what it comes to.
struct Choice {
    A amps;
    Objective objective;
};

// Every block of a point set by hand: one start, one current, until the need is in, or the time is over.
std::vector<Choice> every_block(const Problem& alone) {
    std::vector<Choice> found;
    const auto offer = [&](A amps) { found.push_back({amps, objective_of(alone, tally(alone, amps))}); };
    offer(A(alone.slots.size()));
    for (std::size_t begin = 0; begin < alone.slots.size(); ++begin) {
        for (int a = alone.least.count(); a <= alone.slots[begin].most.count(); ++a) {
            if (a == alone.missing.count()) continue;
            A amps(alone.slots.size());
            bool holds = true;
            for (std::size_t t = begin; t < amps.size(); ++t) {
                if (tally(alone, amps).net >= thirds(alone.need)) break;
                holds &= alone.slots[t].most >= WholeAmps(a);
                amps[t] = a;
            }
            if (holds) offer(std::move(amps));
        }
    }
    return found;
}

// What the battery takes counts, not what it is offered.
bool charges_floor(const Problem& alone, const A& amps) {
    const FloorSlots floor = floor_slots(alone);
    Wide net = 0;
    for (std::size_t t = 0; t < amps.size(); ++t) {
        const Slot& slot = alone.slots[t];
        const Wide here = intake(alone, slot, WholeAmps(amps[t]), net).net;
        if (usable(alone, slot) && floor.holds(t)) {
            const Wide most = intake(alone, slot, slot.most, net).net;
            if (here < std::min(most, thirds(alone.floor) - net)) return false;
        }
        net += here;
    }
    return true;
}

// Every night of a car by itself that charges its floor at once and brings less than a slot's least beyond
// its need.
std::vector<Choice> every_night(const JointProblem& problem, std::size_t car) {
    const Problem alone = rest_of(problem, JointAmps(problem.cars.size(), A(problem.slots.size())), car);
    if (alone.manner == Manner::one_block) return every_block(alone);
    Wide least = 0;
    for (const Slot& slot : alone.slots) {
        if (usable(alone, slot)) least = std::max(least, net_of(alone, slot, alone.least));
    }
    std::vector<Choice> found;
    A amps(alone.slots.size());
    const std::function<void(std::size_t)> from = [&](std::size_t t) {
        if (t == amps.size()) {
            const Tally sum = tally(alone, amps);
            if (sum.net > 0 && sum.net >= thirds(alone.need) + least) return;
            const Objective objective = objective_of(alone, sum);
            if (charges_floor(alone, amps) && (alone.wakes || objective.starts <= 1))
                found.push_back({amps, objective});
            return;
        }
        amps[t] = 0;
        from(t + 1);
        for (int a = alone.least.count(); a <= alone.slots[t].most.count(); ++a) {
            if (a == alone.missing.count()) continue;
            amps[t] = a;
            from(t + 1);
        }
        amps[t] = 0;
    };
    from(0);
    return found;
}

struct Truth {
    std::vector<Shortfall> shortfalls;  // with the next three the best of all plans, in this order
    MilliwattHours above_cap;
    ExactAmount cost;
    std::optional<ExactAmount>
        at_least;  // of plans that leave no car shorter, nor more above its cap, than `plan`
};

bool keeps_rows(const JointProblem& problem, const std::vector<const Choice*>& chosen) {
    return std::ranges::all_of(problem.rows, [&](const SharedRow& shared) {
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            int sum = 0;
            for (const std::size_t i : shared.cars) sum += i < chosen.size() ? chosen[i]->amps[t] : 0;
            if (sum > shared.capacity[t].count()) return false;
        }
        return true;
    });
}

Truth truth(const JointProblem& problem, const JointPlan& plan) {
    std::vector<std::vector<Choice>> nights;
    for (std::size_t i = 0; i < problem.cars.size(); ++i) nights.push_back(every_night(problem, i));
    std::optional<Truth> best;
    std::optional<ExactAmount> at_least;
    std::vector<const Choice*> chosen;
    const auto judge = [&] {
        Truth one;
        bool no_worse = true;
        for (std::size_t i = 0; i < chosen.size(); ++i) {
            const Objective& objective = chosen[i]->objective;
            one.shortfalls.push_back({objective.short_by, problem.cars[i].need});
            one.above_cap += objective.above_cap;
            one.cost += objective.cost;
            no_worse &= objective.short_by <= plan.cars[i].short_by.missing &&
                        objective.above_cap <= plan.cars[i].above_cap;
        }
        if (no_worse && (!at_least || one.cost < *at_least)) at_least = one.cost;
        std::ranges::sort(one.shortfalls, std::greater<>{});
        const auto in_order = [](const Truth& a, const Truth& b) {
            if (a.shortfalls != b.shortfalls)
                return std::ranges::lexicographical_compare(a.shortfalls, b.shortfalls);
            return std::tuple(a.above_cap, a.cost) < std::tuple(b.above_cap, b.cost);
        };
        if (!best || in_order(one, *best)) best = std::move(one);
    };
    const std::function<void()> next = [&] {
        if (chosen.size() == problem.cars.size()) return judge();
        for (const Choice& night : nights[chosen.size()]) {
            chosen.push_back(&night);
            if (keeps_rows(problem, chosen)) next();
            chosen.pop_back();
        }
    };
    next();
    best->at_least = at_least;
    return *std::move(best);
}

}  // namespace

TEST_CASE("joint: a car that does not wake is planned with the others, in one run") {
    JointProblem problem = quarters(4);
    problem.cars = {car("a", {10, 60, 10, 20}, 16, 32), car("b", {10, 60, 10, 20}, 16, 16)};
    problem.cars[0].wakes = false;
    problem.rows = {row(16, 4, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    REQUIRE(plan.apart.size() == 1);
    CHECK(plan.apart[0].car == 0);
    CHECK(plan.apart[0].because == Apart::does_not_wake);
    // One run of two slots: the last two, and the other car takes the first.
    CHECK(amps(plan.cars[0]) == A{0, 0, 16, 16});
    CHECK(amps(plan.cars[1]) == A{16, 0, 0, 0});
    CHECK(plan.shortfalls_proven);
    REQUIRE(plan.lower_bound);
    CHECK(plan.cost_proven());
}

TEST_CASE("joint: what taper or cap cannot touch is planned together all the same") {
    JointProblem problem = quarters(3);
    problem.cars = {car("a", {10, 20, 30}, 16, 16), car("b", {10, 20, 30}, 16, 16)};
    problem.rows = {row(16, 3, {0, 1})};
    SECTION("a taper that begins above the need") {
        problem.cars[0].taper = {{WattHours(60 * 60), WholeAmps(8)}};
    }
    SECTION("a taper to more than the point offers") {
        problem.cars[0].taper = {{WattHours(0), WholeAmps(20)}};
    }
    SECTION("a cap above every price") { problem.cars[0].price_cap = problem.cars[0].slots[2].price; }
    SECTION("a car that needs nothing") {
        problem.cars.push_back(car("c", {10, 20, 30}, 16, 0));
        problem.cars.back().wakes = false;
    }
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(plan.apart.empty());
    CHECK(plan.cost_proven());
}

TEST_CASE("joint: planned together, cars cost what neither order of turns finds") {
    // On or off, one of both at a time, two slots each; `a` does not go on after a pause. First `a`: the
    // first two slots for 10 + 12, and 40 + 12 for `b`. First `b`: its first two for 10 + 11, and 11 + 40 for
    // `a`. No car gains alone then. Together: the two in the middle for 12 + 11, the outer ones for 10 + 12.
    JointProblem problem = quarters(4);
    problem.cars = {car("a", {10, 12, 11, 40}, 16, 32), car("b", {10, 11, 40, 12}, 16, 32)};
    for (JointCar& one : problem.cars) one.least = WholeAmps(16);
    problem.cars[0].wakes = false;
    problem.rows = {row(16, 4, {0, 1})};
    // A slot is 0.96 kWh, a hundredth for it 0.0096.
    const auto hundredths = [](int sum) { return ExactAmount(Money(sum * 9'600)); };
    for (const std::size_t first : {0U, 1U}) {
        JointAmps turns(2, A(4));
        ExactAmount cost;
        for (const std::size_t turn : {first, 1 - first}) {
            const Plan one = solve(rest_of(problem, turns, turn));
            for (std::size_t t = 0; t < 4; ++t) turns[turn][t] = one.slots[t].amps.count();
            cost += one.objective.cost;
        }
        CHECK(cost == hundredths(first == 0 ? 74 : 72));
    }
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(amps(plan.cars[0]) == A{0, 16, 16, 0});
    CHECK(amps(plan.cars[1]) == A{16, 0, 0, 16});
    CHECK(plan.cost == hundredths(45));
    CHECK(plan.cost_proven());
    CHECK(plan.shortfalls_proven);
}

TEST_CASE("joint: a point set by hand and a driven car are planned together, its last slot paid in part") {
    // By hand 24 A through a quarter of an hour are needed: a block of 16 A is 0.96 kWh and half of that.
    // Planned first it takes the first two slots, for 10 and half of 12, and the driven car pays 40 for its
    // 0.96 kWh. Together it takes the middle two, for 12 and half of 14, and the driven car pays 10.
    JointProblem problem = quarters(4);
    problem.cars = {car("hand", {10, 12, 14, 40}, 16, 24), car("driven", {10, 40, 40, 40}, 16, 16)};
    for (JointCar& one : problem.cars) one.least = WholeAmps(16);
    problem.cars[0].manner = Manner::one_block;
    problem.rows = {row(16, 4, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    REQUIRE(plan.apart.size() == 1);
    CHECK(plan.apart[0].because == Apart::by_hand);
    CHECK(amps(plan.cars[0]) == A{0, 16, 16, 0});
    CHECK(amps(plan.cars[1]) == A{16, 0, 0, 0});
    CHECK(plan.cars[0].delivered == MilliwattHours(WattHours(60 * 24)));
    CHECK(plan.cars[0].cost == ExactAmount(Money((12 + 7) * 9'600)));
    CHECK(plan.cars[1].cost == ExactAmount(Money(10 * 9'600)));
    CHECK(plan.cost_proven());
    const Beside hand = beside(problem, plan, 0, {problem.slots.front().begin, problem.slots.back().end});
    CHECK(hand.problem.manner == Manner::one_block);
    CHECK(hand.plan.objective.cost == plan.cars[0].cost);
    CHECK(hand.plan.slots[3].why == Why::outside_block);
}

TEST_CASE(
    "joint: where a car is shorter than by itself, its cost is bounded while no price is below nothing") {
    JointProblem problem = quarters(2);
    problem.cars = {car("a", {10, 10}, 16, 32), car("b", {10, 10}, 16, 32)};
    problem.cars[0].overhead = Watts(240);
    problem.rows = {row(16, 2, {0, 1})};
    SECTION("all prices above nothing") {
        const JointPlan plan = solve_joint(problem, {}, solver::cbc());
        // A slot each: 15 of 32 and 16 of 32 brought.
        CHECK(plan.shortfalls[0].missing == MilliwattHours(WattHours(60 * 17)));
        CHECK(plan.shortfalls[1].missing == MilliwattHours(WattHours(60 * 16)));
        CHECK(plan.cost_proven());
        CHECK(!plan.shortfalls_proven);
    }
    SECTION("one below") {
        for (JointCar& one : problem.cars) one.slots[1].price = Rate(-1);
        const JointPlan plan = solve_joint(problem, {}, solver::cbc());
        CHECK(plan.shortfalls.front().missing > MilliwattHours{});
        CHECK(!plan.lower_bound);
        CHECK(!plan.gap());
        CHECK(!plan.cost_proven());
        CHECK(!plan.shortfalls_proven);
    }
}

namespace {

enum Kind : std::uint64_t { kTaper, kOverhead, kAsleep, kCapped, kByHand, kMixed, kFloor };

JointProblem tiny(std::uint64_t seed, Kind kind) {
    JointProblem problem = support::tiny_joint_instance(seed);
    constexpr Rate kCap(40'000'000'000);
    const auto apart = kind == kMixed ? seed % 5 : kind == kFloor ? seed % 3 : kind;
    support::set_apart(problem.cars[0], apart, kCap);
    if (kind == kFloor) problem.cars[0].floor = MilliwattHours(problem.cars[0].need.count() / 3);
    if (kind == kMixed || seed % 3 == 0) support::set_apart(problem.cars[1], seed / 5 % 5, kCap);
    // In most nothing need be short.
    if (seed % 4 != 0) {
        for (JointCar& one : problem.cars) one.need = MilliwattHours(one.need.count() / 2);
    }
    return problem;
}

}  // namespace

TEST_CASE("joint: of every plan there is, none refutes a bound, and few are better than what is found") {
    const char* const names[] = {"taper",       "overhead",      "no waking", "price cap",
                                 "set by hand", "two such cars", "a floor"};
    for (const Kind kind : {kTaper, kOverhead, kAsleep, kCapped, kByHand, kMixed, kFloor}) {
        constexpr int kInstances = 100;
        int best = 0;
        int bounded = 0;
        int proven = 0;
        for (std::uint64_t seed = 1; seed <= kInstances; ++seed) {
            INFO(names[kind] << ", seed " << seed);
            const JointProblem problem = tiny(seed, kind);
            Budget budget;
            budget.pricings = 1'000;
            const JointPlan plan = solve_joint(problem, budget, solver::cbc());
            CHECK(support::any_complaints(problem, plan) == std::vector<std::string>{});
            const JointAmps drawn = support::all_amps(plan);
            for (std::size_t i = 0; i < drawn.size(); ++i) {
                const Problem rest = rest_of(problem, drawn, i);
                Objective alone = solve(rest).objective;
                alone.preference = 0;
                CHECK(alone >= objective_of(rest, tally(rest, drawn[i])));
            }
            const Truth all = truth(problem, plan);
            REQUIRE(all.at_least);
            CHECK(!std::ranges::lexicographical_compare(plan.shortfalls, all.shortfalls));
            if (plan.shortfalls_proven) CHECK(plan.shortfalls == all.shortfalls);
            best += plan.shortfalls == all.shortfalls && plan.above_cap == all.above_cap &&
                    (plan.cost - all.cost).atto() <= 3;
            if (!plan.lower_bound) continue;
            ++bounded;
            proven += plan.cost_proven();
            CHECK(*plan.lower_bound <= *all.at_least);
        }
        std::cout << "joint, tiny, " << names[kind] << ": " << best << " of " << kInstances
                  << " the best there is, " << bounded << " with a bound, " << proven << " proven\n";
        CHECK(best >= kInstances * 9 / 10);
        CHECK(bounded >= kInstances * 3 / 4);
        CHECK(proven >= kInstances / 3);
    }
}
