// Slots that are alike trade places until equal currents stand side by side.
#include "core/plan/joint_calm.hpp"

#include <chrono>
#include <string>
#include <utility>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using std::chrono::minutes;

namespace {

// Quarters at these prices in hundredths, 28 A for two cars of 240 W an ampere that may draw 24 A each.
JointProblem on_28_amperes(const std::vector<int>& cents) {
    JointProblem problem;
    Instant at{std::chrono::hours(24 * 365 * 56)};
    SharedRow row{.cars = {0, 1}};
    for (std::size_t t = 0; t < cents.size(); ++t, at += minutes(15)) {
        problem.slots.push_back({at, at + minutes(15)});
        row.capacity.emplace_back(28);
    }
    problem.rows = {row};
    for (const char* name : {"a", "b"}) {
        JointCar car;
        car.name = name;
        car.per_ampere = Watts(240);
        car.need = WattHours(60 * 14 * static_cast<std::int64_t>(cents.size()));
        car.start_cost = Money(20'000);
        for (const int price : cents)
            car.slots.push_back({Rate(price * 10'000'000'000LL), WholeAmps(24), {}});
        problem.cars.push_back(std::move(car));
    }
    return problem;
}

JointAmps calmed(const JointProblem& problem, JointAmps amps) {
    const JointGrid grid = make_joint_grid(problem);
    const Wide before = cost(grid, amps);
    std::vector<std::int64_t> energies;
    for (const auto& car : amps) energies.push_back(energy(grid, car));
    calm(problem, grid, amps);
    CHECK(cost(grid, amps) <= before);
    for (std::size_t i = 0; i < amps.size(); ++i) CHECK(energy(grid, amps[i]) == energies[i]);
    CHECK(feasible(grid, energies, amps));
    return amps;
}

}  // namespace

TEST_CASE("joint: cars that take turns at equal prices take one turn each") {
    const JointAmps found =
        calmed(on_28_amperes({9, 9, 9, 9, 9, 9}), {{6, 22, 6, 22, 6, 22}, {22, 6, 22, 6, 22, 6}});
    CHECK(found == JointAmps{{22, 22, 22, 6, 6, 6}, {6, 6, 6, 22, 22, 22}});
}

TEST_CASE("joint: currents stay at their price when slots trade places") {
    const JointAmps taken = {{6, 22, 22, 6}, {22, 6, 6, 22}};
    CHECK(calmed(on_28_amperes({9, 8, 7, 6}), taken) == taken);
    // The dear slot in the middle stays; the cheap ones beside it trade.
    CHECK(calmed(on_28_amperes({5, 5, 9, 5, 5}), {{6, 22, 14, 6, 22}, {22, 6, 14, 22, 6}}) ==
          JointAmps{{22, 22, 14, 6, 6}, {6, 6, 14, 22, 22}});
}

TEST_CASE("joint: no start is added for the sake of calm, and none is kept that it spares") {
    CHECK(calmed(on_28_amperes({9, 9, 9, 9}), {{10, 0, 10, 0}, {14, 14, 14, 14}}) ==
          JointAmps{{10, 10, 0, 0}, {14, 14, 14, 14}});
    // The more first, a would change less often and start twice, before the dear slot and behind it.
    const JointAmps runs = {{0, 0, 0, 12, 10, 12, 10}, {14, 14, 14, 14, 14, 14, 14}};
    CHECK(calmed(on_28_amperes({5, 5, 9, 5, 5, 5, 5}), runs) == runs);
}
