#include "core/plan/joint_any_floor.hpp"

#include <utility>

#include "core/plan/exact.hpp"
#include "core/plan/grid.hpp"
#include "core/plan/joint_rest.hpp"
#include "core/plan/solve.hpp"

namespace lullwatt::plan {
namespace {

// Empty where there is none, or the car would be short for it: one that does not wake may leave it. A block
// that begins at once is claimed whole, for nobody changes its current.
std::vector<int> floor_amps(const Problem& rest) {
    if (rest.floor <= MilliwattHours{}) return {};
    const Plan plan = solve(rest);
    if (rest.manner == Manner::one_block) return offered(plan);
    const FloorSlots floor = floor_slots(rest);
    std::vector<int> amps(rest.slots.size());
    for (std::size_t t = 0; t < amps.size(); ++t) {
        if (!usable(rest, rest.slots[t]) || !floor.holds(t)) continue;
        const WholeAmps asked = t < floor.full ? rest.slots[t].most : floor.reach;
        if (plan.slots[t].amps < asked) return {};
        amps[t] = asked.count();
    }
    return amps;
}

}  // namespace

Draft floors_first(const JointProblem& problem, const std::vector<std::size_t>& apart,
                   const std::vector<std::size_t>& together) {
    Draft draft = empty_draft(problem);
    for (const std::size_t car : apart) {
        std::vector<int> amps = floor_amps(rest_of(problem, draft.amps, car));
        if (!amps.empty()) set_car(draft, problem, car, std::move(amps));
    }
    JointAmps others = forced_only(make_joint_grid(part_of(problem, together, draft.amps)));
    for (std::size_t i = 0; i < together.size(); ++i)
        set_car(draft, problem, together[i], std::move(others[i]));
    return draft;
}

}  // namespace lullwatt::plan
