#include "core/plan/solve.hpp"

#include <algorithm>
#include <limits>

#include "core/plan/block.hpp"
#include "core/plan/evaluate.hpp"
#include "core/plan/grid.hpp"
#include "core/plan/programme.hpp"
#include "core/plan/value.hpp"

namespace lullwatt::plan {
namespace {

constexpr WholeAmps kNoCap(std::numeric_limits<int>::max());

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

Found find(const Problem& problem, WholeAmps cap) {
    const Grid grid = make_grid(problem, cap);
    Found found{.plan = best_plan(grid)};
    found.money_and_starts = grid.money_and_starts(found.plan.cost);
    found.money_thirds = grid.money_thirds(found.plan.cost);
    return found;
}

// The least cap that worsens neither money nor starts: what fits under a cap fits under a higher one.
Found find_gentle(const Problem& problem) {
    Found best = find(problem, kNoCap);
    int high = *std::ranges::max_element(best.plan.amps);
    int low = problem.least.count() - 1;  // known not to do
    while (high - low > 1) {
        int middle = low + (high - low) / 2;
        if (middle == problem.missing.count()) {
            if (low + 1 == middle) {
                low = middle;
                continue;
            }
            --middle;
        }
        const bool carries = most_energy(problem, WholeAmps(middle)) >= thirds(problem.need);
        std::optional<Found> tried;
        if (carries) tried = find(problem, WholeAmps(middle));
        if (tried && tried->money_and_starts == best.money_and_starts) {
            best = std::move(*tried);
            high = middle;
        } else {
            low = middle;
        }
    }
    return best;
}

}  // namespace

Plan solve(const Problem& asked) {
    const Problem problem = settable(asked);
    if (problem.manner == Manner::one_block) return best_block(problem);
    if (problem.need <= MilliwattHours{})
        return make_plan(problem, std::vector<int>(problem.slots.size()), 0);
    if (most_energy(problem, kNoCap) < thirds(problem.need)) return everything(problem);
    const Found found =
        problem.preference == Preference::gentle ? find_gentle(problem) : find(problem, kNoCap);
    return make_plan(problem, found.plan.amps, found.money_thirds);
}

std::vector<Objective> solve_every_plug_in(const Problem& asked) {
    const Problem problem = settable(asked);
    return problem.manner == Manner::one_block ? best_block_every_plug_in(problem)
                                               : value_every_plug_in(problem);
}

}  // namespace lullwatt::plan
