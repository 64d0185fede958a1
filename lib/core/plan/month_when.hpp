// "When should I plug in?" where the bill also charges for the month.
//
// Pure functions; call from any thread.
#pragma once

#include <functional>
#include <vector>

#include "core/plan/month.hpp"
#include "core/plan/when.hpp"

namespace lullwatt::plan {

// Tells of some slots, ascending, that a plug-in at their begin is of interest.
struct MonthWhen {
    When when;                         // its plans and objectives with peaks and steps in their money
    MonthPlan best;                    // of which `when.best` is the plan
    std::vector<PeakOutcome> at_once;  // what charging at once does to the peaks
};

// The plan plugged in at the begin of a slot.
[[nodiscard]] MonthPlan plugged_in_at(const Problem& problem, const MonthCosts& costs, std::size_t slot);

// Without a floor a later plug-in never costs less, so the latest that costs no more is found by halving. An
// objective in When::plug_in stands for a plug-in in `asked` or at one of the answer's own slots; between
// them it is the next such slot's, which is not less. With a floor the answer goes by the slots in `asked`
// alone. REQUIRES: problem.slots not empty; `asked` ascends and holds slot 0.
[[nodiscard]] MonthWhen answer_when(const Problem& problem, const MonthCosts& costs,
                                    std::vector<std::size_t> asked);

// The best plan that does otherwise in a slot, as explain.hpp's. `plan` is solve_month(problem, costs).plan.
[[nodiscard]] std::optional<MonthPlan> otherwise(const Problem& problem, const MonthCosts& costs,
                                                 const Plan& plan, std::size_t slot);

}  // namespace lullwatt::plan
