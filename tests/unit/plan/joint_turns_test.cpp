// Joint plans with cars that the joint programme does not know: a taper, an overhead, no waking, a price cap.
#include <algorithm>
#include <chrono>
#include <functional>

#include "core/plan/evaluate.hpp"
#include "core/plan/joint.hpp"
#include "core/plan/joint_rest.hpp"
#include "core/plan/solve.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;

namespace {

JointProblem quarters(std::size_t count) {
    JointProblem problem;
    Instant at{std::chrono::hours(24 * 365 * 56)};
    for (std::size_t t = 0; t < count; ++t, at += std::chrono::minutes(15))
        problem.slots.push_back({at, at + std::chrono::minutes(15)});
    return problem;
}

// Prices in hundredths of the currency per kWh. 240 W an ampere: an ampere for a quarter of an hour is 60 Wh.
JointCar car(const std::string& name, std::initializer_list<int> cents, int most, int need_ampere_quarters) {
    JointCar out;
    out.name = name;
    out.per_ampere = Watts(240);
    out.need = WattHours(60 * need_ampere_quarters);
    for (const int price : cents) out.slots.push_back({Rate(price * 10'000'000'000LL), WholeAmps(most), {}});
    return out;
}

SharedRow row(int amps, std::size_t slots, std::vector<std::size_t> cars) {
    return {.node = 0,
            .leg = 0,
            .capacity = std::vector<WholeAmps>(slots, WholeAmps(amps)),
            .cars = std::move(cars)};
}

std::vector<int> amps(const CarPlan& plan) {
    std::vector<int> out;
    for (const PlannedSlot& slot : plan.slots) out.push_back(slot.amps.count());
    return out;
}

using A = std::vector<int>;

JointAmps all_amps(const JointPlan& plan) {
    JointAmps out;
    for (const CarPlan& one : plan.cars) out.push_back(amps(one));
    return out;
}

// Every joint plan of off, least and most currents: the cheapest that leaves each car no shorter and no more
// above its cap than `plan` does.
std::optional<ExactAmount> cheapest_of_all(const JointProblem& problem, const JointPlan& plan) {
    std::optional<ExactAmount> best;
    JointAmps amps(problem.cars.size(), A(problem.slots.size()));
    const auto judge = [&] {
        ExactAmount cost;
        for (std::size_t i = 0; i < amps.size(); ++i) {
            const Problem rest = rest_of(problem, amps, i);
            std::int64_t longest = 0;
            for (const Slot& slot : rest.slots) longest = std::max(longest, minutes(slot));
            const Tally sum = tally(rest, amps[i]);
            const Objective one = objective_of(rest, sum);
            const Wide least = Wide{rest.least.count()} * thirds_per_ampere_minute(rest) * longest;
            if (one.short_by > plan.cars[i].short_by.missing || one.above_cap > plan.cars[i].above_cap ||
                sum.net >= thirds(rest.need) + least)
                return;
            if (!rest.wakes && one.starts > 1) return;
            cost += one.cost;
        }
        if (!best || cost < *best) best = cost;
    };
    const std::function<void(std::size_t, std::size_t)> from = [&](std::size_t i, std::size_t t) {
        if (i == amps.size()) return judge();
        const bool last = t + 1 == problem.slots.size();
        const auto next = [&] { last ? from(i + 1, 0) : from(i, t + 1); };
        const JointCar& one = problem.cars[i];
        amps[i][t] = 0;
        next();
        for (int a = one.least.count(); a <= rest_of(problem, amps, i).slots[t].most.count(); ++a) {
            if (a == one.missing.count()) continue;
            amps[i][t] = a;
            next();
        }
        amps[i][t] = 0;
    };
    from(0, 0);
    return best;
}

void set_apart(JointCar& one, std::uint64_t kind) {
    if (kind == 0) one.taper = {{MilliwattHours(one.need.count() / 2), one.least}};
    if (kind == 1) one.overhead = Watts(one.per_ampere.count() / 2);
    if (kind == 2) one.wakes = false;
    if (kind == 3) one.price_cap = Rate(40'000'000'000LL);
}

}  // namespace

TEST_CASE("joint: a car that does not wake is planned in turn, in one run, beside the others") {
    JointProblem problem = quarters(4);
    problem.cars = {car("a", {10, 60, 10, 20}, 16, 32), car("b", {10, 60, 10, 20}, 16, 16)};
    problem.cars[0].wakes = false;
    problem.rows = {row(16, 4, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    REQUIRE(plan.in_turn.size() == 1);
    CHECK(plan.in_turn[0].car == 0);
    CHECK(plan.in_turn[0].because == Apart::does_not_wake);
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
    CHECK(plan.in_turn.empty());
    CHECK(plan.cost_proven());
}

TEST_CASE("joint: where a car in turn is shorter than by itself, no bound is told") {
    JointProblem problem = quarters(2);
    problem.cars = {car("a", {10, 10}, 16, 32), car("b", {10, 10}, 16, 32)};
    problem.cars[0].overhead = Watts(240);
    problem.rows = {row(16, 2, {0, 1})};
    const JointPlan plan = solve_joint(problem, {}, solver::cbc());
    CHECK(plan.shortfalls.front().missing > MilliwattHours{});
    CHECK(!plan.lower_bound);
    CHECK(!plan.gap());
    CHECK(!plan.cost_proven());
    CHECK(!plan.shortfalls_proven);
}

TEST_CASE("joint: where a car in turn has a floor, no bound is told, for beside others it may come later") {
    JointProblem problem = quarters(3);
    problem.cars = {car("a", {30, 20, 10}, 16, 16), car("b", {30, 20, 10}, 16, 16)};
    problem.cars[0].overhead = Watts(240);
    problem.cars[0].floor = WattHours(600);
    problem.rows = {row(16, 3, {0, 1})};
    CHECK(!solve_joint(problem, {}, solver::cbc()).lower_bound);
}

TEST_CASE("joint: plans in turn keep to every row, tell the truth, and no car would gain alone") {
    int bounded = 0;
    int proven = 0;
    constexpr int kInstances = 120;
    for (std::uint64_t seed = 1; seed <= kInstances; ++seed) {
        INFO("seed " << seed);
        JointProblem problem = support::tiny_joint_instance(seed);
        set_apart(problem.cars[0], seed % 4);
        if (seed % 3 == 0) set_apart(problem.cars[1], seed / 4 % 4);
        for (JointCar& one : problem.cars) one.need = MilliwattHours(one.need.count() / 2);
        const JointPlan plan = solve_joint(problem, {}, solver::cbc());
        const JointAmps drawn = all_amps(plan);
        for (const SharedRow& shared : problem.rows) {
            for (std::size_t t = 0; t < problem.slots.size(); ++t) {
                int sum = 0;
                for (const std::size_t i : shared.cars) sum += drawn[i][t];
                CHECK(sum <= shared.capacity[t].count());
            }
        }
        ExactAmount cost;
        for (std::size_t i = 0; i < drawn.size(); ++i) {
            const Problem rest = rest_of(problem, drawn, i);
            const Objective told = objective_of(rest, tally(rest, drawn[i]));
            CHECK(plan.cars[i].short_by.missing == told.short_by);
            CHECK(plan.cars[i].cost == told.cost);
            cost += plan.cars[i].cost;
            Objective alone = solve(rest).objective;
            alone.preference = 0;
            CHECK(alone >= told);
        }
        CHECK((plan.cost < cost ? cost - plan.cost : plan.cost - cost).atto() <= 3);
        if (!plan.lower_bound) continue;
        ++bounded;
        proven += plan.cost_proven();
        CHECK(*plan.lower_bound <= plan.cost);
        const auto least = cheapest_of_all(problem, plan);
        REQUIRE(least);
        CHECK(*plan.lower_bound <= *least);
    }
    CHECK(bounded >= kInstances / 2);
    CHECK(proven >= kInstances / 4);
}
