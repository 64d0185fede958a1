// Short cars made alike by handing over currents, whatever time there is.
#include "core/plan/joint_level.hpp"

#include <chrono>
#include <cmath>

#include "core/plan/joint.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_checker.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using std::chrono::minutes;

namespace {

// Thirteen hours in quarters, 28 A for two cars that need 52 and 42 kWh at 240 V and may draw 32 and 24 A.
JointProblem two_on_28_amperes() {
    JointProblem problem;
    Instant at{std::chrono::hours(24 * 365 * 56)};
    SharedRow row{.cars = {0, 1}};
    for (int t = 0; t < 52; ++t, at += minutes(15)) {
        problem.slots.push_back({at, at + minutes(15)});
        row.capacity.emplace_back(28);
    }
    problem.rows = {row};
    for (const int most : {32, 24}) {
        JointCar car;
        car.name = most == 32 ? "Ann" : "Bob";
        car.per_ampere = Watts(240);
        car.need = WattHours(most == 32 ? 52'000 : 42'000);
        car.start_cost = Money(20'000);
        for (int t = 0; t < 52; ++t)
            car.slots.push_back({Rate((t < 16 || t > 48 ? 24 : 11) * 10'000'000'000LL), WholeAmps(most), {}});
        problem.cars.push_back(std::move(car));
    }
    return problem;
}

// 28 A for 13 hours are 87.36 kWh, so 6.64 of 94 kWh are short whatever is done: 7.064 % of each need.
void check_alike(const JointProblem& problem, const JointPlan& plan) {
    CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
    const auto lacking = [&](std::size_t car) {
        return static_cast<double>(plan.cars[car].short_by.missing.count());
    };
    CHECK(lacking(0) + lacking(1) == 6'640'000);
    constexpr double kQuarterAmpere = 60'000;
    CHECK(std::abs(lacking(0) - 52'000'000 * 6.64 / 94) <= kQuarterAmpere);
    CHECK(std::abs(lacking(1) - 42'000'000 * 6.64 / 94) <= kQuarterAmpere);
}

}  // namespace

TEST_CASE("joint: however little time there is, what is short is shared and no room is left") {
    const JointProblem problem = two_on_28_amperes();
    const Budget none{.stop = [] { return true; }};
    check_alike(problem, solve_joint(problem, none, solver::cbc()));
    int left = 200;
    const Budget little{.hurry = [&left] { return --left < 0; }};
    check_alike(problem, solve_joint(problem, little, solver::cbc()));
}

TEST_CASE(
    "joint: a current is handed over only where the shorter car gains and the other does not become as "
    "short") {
    const JointProblem problem = two_on_28_amperes();
    const JointGrid grid = make_joint_grid(problem);
    JointAmps amps(2, std::vector<int>(52));
    for (int t = 0; t < 52; ++t) amps[0][static_cast<std::size_t>(t)] = t < 43 ? 20 : 0;
    const Budget budget;
    level(grid, amps, Work(budget));
    for (std::size_t t = 0; t < 52; ++t) {
        INFO("slot " << t);
        CHECK(amps[0][t] + amps[1][t] == 28);
        CHECK(allows(grid.cars[0].slots[t], amps[0][t]));
        CHECK(allows(grid.cars[1].slots[t], amps[1][t]));
    }
    const Share ann = share_short(grid.cars[0], energy(grid, amps[0]));
    const Share bob = share_short(grid.cars[1], energy(grid, amps[1]));
    const JointAmps before = amps;
    level(grid, amps, Work(budget));
    CHECK(amps == before);
    // Neither could give the other an ampere for a quarter and still be the less short.
    const Wide unit = grid.cars[0].unit_thirds * grid.weight[0];
    CHECK(Share{ann.part + unit, ann.whole} >= bob);
    CHECK(Share{bob.part + unit, bob.whole} >= ann);
}
