// The one-car programme with a budget of energy over some stretches of slots, as a cap on the mean power of a
// demand interval is one.
//
// Pure functions; call from any thread.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/plan/programme.hpp"

namespace lullwatt::plan {

// Slots [first, last) take no more than `units` together, in units of a Grid.
struct Budget {
    std::size_t first = 0;
    std::size_t last = 0;
    std::int64_t units = 0;
};

// The best plan that keeps every budget; empty where there is none. REQUIRES: the grid is of a car that
// takes what it is offered and grid.need is above 0; budgets ascend, do not overlap and are not negative.
[[nodiscard]] std::optional<GridPlan> best_plan_within(const Grid& grid, const std::vector<Budget>& budgets);

// No plan that keeps the budgets costs less: the cheapest units, were currents divisible, and one start. Empty
// where not even those bring the need. REQUIRES: as above, but of any driven car.
[[nodiscard]] std::optional<Wide> bound_within(const Grid& grid, const std::vector<Budget>& budgets);

// About how many steps that takes, and how many numbers it keeps.
struct Effort {
    double steps = 0;
    double kept = 0;
};
[[nodiscard]] Effort effort_within(const Grid& grid, const std::vector<Budget>& budgets);

}  // namespace lullwatt::plan
