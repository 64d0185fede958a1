#include "core/plan/solve.hpp"

#include <algorithm>
#include <cassert>
#include <limits>
#include <optional>
#include <utility>

#include "core/plan/block.hpp"
#include "core/plan/charging.hpp"
#include "core/plan/evaluate.hpp"
#include "core/plan/grid.hpp"
#include "core/plan/programme.hpp"
#include "core/plan/table.hpp"
#include "core/plan/value.hpp"

namespace lullwatt::plan {
namespace {

// Not enough fits: every usable slot at its most is the one plan that leaves the least short.
Plan everything(const Problem& problem) {
    std::vector<int> amps;
    for (const Slot& slot : problem.slots) amps.push_back(usable(problem, slot) ? slot.most.count() : 0);
    const Tally sum = tally(problem, amps);
    return make_plan(problem, amps, sum.energy_cost + start_thirds(problem.start_cost) * sum.starts);
}

struct Found {
    GridPlan plan;
    Wide money_and_starts = 0;
    Wide money_thirds = 0;
};

Found found_in(const Grid& grid, GridPlan plan) {
    Found found{.plan = std::move(plan)};
    found.money_and_starts = grid.money_and_starts(found.plan.cost);
    found.money_thirds = grid.money_thirds(found.plan.cost);
    return found;
}

// What the search of programme.hpp does not know, the whole table does.
bool by_search(const Problem& problem, AboveCap above_cap) {
    const bool capped = problem.price_cap.has_value() && above_cap == AboveCap::allowed;
    return takes_what_it_is_offered(problem) && !problem.forced && !capped;
}

bool carries_the_need(const Grid& grid) {
    std::int64_t units = 0;
    for (const GridSlot& slot : grid.slots) units += std::int64_t{slot.hi} * slot.weight;
    return units >= grid.need;
}

// Empty where no plan under the cap brings the need.
std::optional<Found> find(const Problem& problem, WholeAmps cap, AboveCap above_cap) {
    if (most_energy(problem, cap) <= 0) return std::nullopt;
    const Grid grid = make_grid(problem, cap, above_cap);
    if (by_search(problem, above_cap)) {
        if (!carries_the_need(grid)) return std::nullopt;
        return found_in(grid, best_plan(grid));
    }
    auto plan = best_plan_by_table(problem, grid);
    if (!plan) return std::nullopt;
    return found_in(grid, *std::move(plan));
}

// The least cap beyond the floor that worsens neither money nor starts: what fits under one fits under a
// higher.
Found find_gentle(const Problem& problem, AboveCap above_cap, Found best) {
    int high = *std::ranges::max_element(best.plan.amps);
    int low = problem.least.count() - 1;  // not to be had
    while (high - low > 1) {
        int middle = low + (high - low) / 2;
        if (middle == problem.missing.count()) {
            if (low + 1 == middle) {
                low = middle;
                continue;
            }
            --middle;
        }
        std::optional<Found> tried = find(problem, WholeAmps(middle), above_cap);
        if (tried && tried->money_and_starts == best.money_and_starts) {
            best = std::move(*tried);
            high = middle;
        } else {
            low = middle;
        }
    }
    return best;
}

// By the whole order; empty where no plan brings the need.
std::optional<Found> find_in_order(const Problem& problem, AboveCap above_cap) {
    auto found = find(problem, kNoCap, above_cap);
    if (found && problem.preference == Preference::gentle)
        return find_gentle(problem, above_cap, *std::move(found));
    return found;
}

// Without what nothing can fulfil: that a slot charge, else the floor. Without both any plan will do.
Plan undemanding(Problem problem) {
    assert(problem.forced || problem.floor > MilliwattHours{});
    if (problem.forced) {
        problem.forced = {};
    } else {
        problem.floor = {};
    }
    return solve(problem);
}

// Nothing brings the need: the least short, then the rest of the order.
Plan least_short(const Problem& problem) {
    if (most_energy(problem, kNoCap) <= 0) return everything(problem);
    if (takes_what_it_is_offered(problem) && !problem.forced) return everything(problem);
    const Grid grid = make_grid(problem, kNoCap);
    auto shortest = least_short_by_table(problem, grid);
    if (!shortest) return undemanding(problem);
    const Found found = found_in(grid, *std::move(shortest));
    return make_plan(problem, found.plan.amps, found.money_thirds);
}

// A car that does not wake may get less when its floor makes it begin at once; then it waits, if it may.
Plan least_short_with_floor(const Problem& problem) {
    Plan plan = least_short(problem);
    if (problem.wakes || problem.floor_first || problem.floor <= MilliwattHours{}) return plan;
    Problem patient = problem;
    patient.floor = MilliwattHours{};
    Plan waited = solve(patient);
    return waited.objective.short_by < plan.objective.short_by ? waited : plan;
}

// Preference aside. The money of the grid's cost is that of the energy and the starts.
Objective objective_of(const Problem& problem, const Grid& grid, const PlugIn& value) {
    const Wide within = grid.within_cap(value.cost);
    const Wide above = grid.units_above(value.cost) * grid.unit_thirds;
    const Wide starts =
        floor_quotient(within - floor_quotient(within, grid.per_money) * grid.per_money, grid.per_start);
    const Wide lacking = thirds(problem.need) - (grid.need - value.lacking) * grid.unit_thirds;
    return {.short_by = value.lacking > 0 ? MilliwattHours(-whole_energy(-lacking)) : MilliwattHours{},
            .above_cap = whole_energy(above),
            .cost = whole_amount(grid.money_thirds(value.cost)),
            .starts = static_cast<int>(starts)};
}

Problem plugged_in_at(Problem problem, std::size_t slot) {
    problem.slots.erase(problem.slots.begin(), problem.slots.begin() + static_cast<std::ptrdiff_t>(slot));
    return problem;
}

// One backward pass tells every plug-in. A floor begins where the car is plugged in, so with one each is
// solved.
std::vector<Objective> table_every_plug_in(const Problem& problem) {
    std::vector<Objective> found;
    if (problem.need > MilliwattHours{} && problem.floor <= MilliwattHours{} &&
        most_energy(problem, kNoCap) > 0) {
        const Grid grid = without_preference(problem, make_grid(problem, kNoCap));
        for (const PlugIn& value : value_by_table(problem, grid))
            found.push_back(objective_of(problem, grid, value));
        return found;
    }
    for (std::size_t slot = 0; slot < problem.slots.size(); ++slot)
        found.push_back(solve(plugged_in_at(problem, slot)).objective);
    return found;
}

}  // namespace

Plan solve(const Problem& asked) {
    const Problem problem = settable(asked);
    if (problem.manner == Manner::one_block) return best_block(problem);
    if (problem.need <= MilliwattHours{})
        return make_plan(problem, std::vector<int>(problem.slots.size()), 0);
    std::optional<Found> found;
    if (problem.price_cap && by_search(problem, AboveCap::refused))
        found = find_in_order(problem, AboveCap::refused);
    if (!found) found = find_in_order(problem, AboveCap::allowed);
    if (!found) return least_short_with_floor(problem);
    return make_plan(problem, found->plan.amps, found->money_thirds);
}

std::vector<Objective> solve_every_plug_in(const Problem& asked) {
    const Problem problem = settable(asked);
    if (problem.manner == Manner::one_block) return best_block_every_plug_in(problem);
    return by_search(problem, AboveCap::allowed) ? value_every_plug_in(problem)
                                                 : table_every_plug_in(problem);
}

}  // namespace lullwatt::plan
