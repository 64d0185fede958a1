#include "core/plan/joint_together.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

#include "core/plan/evaluate.hpp"
#include "core/plan/joint_bound.hpp"
#include "core/plan/joint_calm.hpp"
#include "core/plan/joint_level.hpp"
#include "core/plan/joint_rest.hpp"
#include "core/plan/joint_short.hpp"
#include "core/plan/solve.hpp"

namespace lullwatt::plan {
namespace {

struct Found {
    std::vector<std::int64_t> targets;
    Cheapest cheapest;
    bool shortfalls_proven = true;
};

// Each car gets what the ones before it leave, the first name first, and then hands over: what is told if
// time ends here.
JointAmps as_much_as_fits(const JointProblem& problem, const JointGrid& grid, Work& work) {
    std::vector<std::size_t> order(grid.cars.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::sort(order, {}, [&](std::size_t car) { return problem.cars[car].name; });
    JointAmps amps = forced_only(grid);
    for (const std::size_t car : order) {
        const std::vector<int> room = room_beside(grid, car, amps);
        const std::int64_t fits = carried(grid, car, room);
        if (fits < grid.cars[car].need && fits < grid.cars[car].floor) continue;
        auto priced = best_response(grid, car, std::min(fits, grid.cars[car].need), room, {}, work);
        if (priced) amps[car] = std::move(priced->amps);
    }
    level(grid, amps, work);
    return amps;
}

Found find(const JointProblem& problem, const JointGrid& grid, Work& work, const MixedSolver& solver) {
    Found found;
    bool each_fits = true;
    for (const JointGrid::Car& car : grid.cars) {
        found.targets.push_back(car.need);
        each_fits = each_fits && car.need <= car.most;
    }
    std::optional<JointAmps> known;
    if (each_fits) {
        found.cheapest = find_cheapest(grid, found.targets, {}, work, solver);
        if (found.cheapest.amps) return found;
        Feasibility any = find_any(grid, found.targets, work, solver);
        if (any.answer == Answer::yes) known = std::move(any.amps);
    }
    if (!known) {
        Targets least = least_short(problem, grid, as_much_as_fits(problem, grid, work), work, solver);
        found.targets = std::move(least.units);
        found.shortfalls_proven = least.proven;
        known = std::move(least.amps);
    }
    found.cheapest = find_cheapest(grid, found.targets, std::move(known), work, solver);
    return found;
}

}  // namespace

Settled plan_together(const JointProblem& problem, Work& work, const MixedSolver& solver) {
    if (problem.cars.empty()) return {.amps = {}, .bound = Wide{0}};
    const JointGrid grid = make_joint_grid(problem);
    Found found = find(problem, grid, work, solver);
    Settled settled{.amps = *std::move(found.cheapest.amps),
                    .shortfalls_proven = found.shortfalls_proven,
                    .bound = found.cheapest.money_bound * grid.thirds_per_money,
                    .proof = found.cheapest.proof};
    if (grid.cars.size() <= kManyCars || !work.stopped()) calm(problem, grid, settled.amps);
    return settled;
}

}  // namespace lullwatt::plan
