#include "core/plan/joint_any_floor.hpp"

#include <algorithm>
#include <utility>

#include "core/plan/grid.hpp"
#include "core/plan/joint_rest.hpp"
#include "core/plan/solve.hpp"

namespace lullwatt::plan {
namespace {

// What solve() charges for the floor. Empty where there is none, or a car that does not wake would be shorter
// for it. By hand a floor asks that the block begins at once, and nobody changes its current: all of it.
std::vector<int> claimed_by_floor(Problem rest) {
    if (rest.floor <= MilliwattHours{}) return {};
    const Plan free = solve(rest);
    if (rest.manner == Manner::one_block) return offered(free);
    const FloorSlots floor = floor_slots(rest);
    if (floor.reach == WholeAmps(0)) return {};
    rest.floor_first = true;
    const Plan plan = solve(rest);
    if (free.objective.short_by < plan.objective.short_by) return {};
    std::vector<int> amps = offered(plan);
    amps[floor.full] = std::min(amps[floor.full], floor.reach.count());
    std::fill(amps.begin() + static_cast<std::ptrdiff_t>(floor.full) + 1, amps.end(), 0);
    return amps;
}

}  // namespace

Draft floors_first(const JointProblem& problem, const std::vector<std::size_t>& apart,
                   const std::vector<std::size_t>& together) {
    Draft draft = empty_draft(problem);
    for (const std::size_t car : apart) {
        std::vector<int> amps = claimed_by_floor(rest_of(problem, draft.amps, car));
        if (!amps.empty()) set_car(draft, problem, car, std::move(amps));
    }
    JointAmps others = forced_only(make_joint_grid(part_of(problem, together, draft.amps)));
    for (std::size_t i = 0; i < together.size(); ++i)
        set_car(draft, problem, together[i], std::move(others[i]));
    return draft;
}

}  // namespace lullwatt::plan
