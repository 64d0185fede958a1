#include "core/plan/block.hpp"

#include <algorithm>
#include <optional>
#include <tuple>

#include "core/plan/charging.hpp"
#include "core/plan/evaluate.hpp"

namespace lullwatt::plan {
namespace {

struct Block {
    std::size_t begin = 0;
    std::size_t end = 0;
    int amps = 0;
    Wide missing = 0;    // thirds of a milliwatt-hour
    Wide above_cap = 0;  // the same, at the register
    Wide cost = 0;       // thirds of 1e-18
    std::int64_t preference = 0;

    // Of equal ones the earlier start, then the lower current.
    friend bool operator<(const Block& a, const Block& b) {
        return std::tuple(a.missing, a.above_cap, a.cost, a.preference, a.begin, a.amps) <
               std::tuple(b.missing, b.above_cap, b.cost, b.preference, b.begin, b.amps);
    }
};

// Early: ready soonest. Late: begun last. Gentle: the least current, then ready soonest.
std::int64_t preference_of(const Problem& problem, const Block& block) {
    const auto end = static_cast<std::int64_t>(block.end);
    switch (problem.preference) {
        case Preference::early:
            return end;
        case Preference::late:
            return -static_cast<std::int64_t>(block.begin);
        case Preference::gentle:
            break;
    }
    return block.amps * (static_cast<std::int64_t>(problem.slots.size()) + 1) + end;
}

// The block of one current from one start, until the need is in, the battery takes nothing more, the car
// leaves or the time ends. Empty where it would have to stop for want of room: nobody is there to stop it.
std::optional<Block> block_from(const Problem& problem, std::size_t begin, int amps) {
    Block block{.begin = begin, .end = begin, .amps = amps, .missing = thirds(problem.need)};
    block.cost = start_thirds(problem.start_cost);
    while (block.end < problem.slots.size() && block.missing > 0) {
        const Slot& slot = problem.slots[block.end];
        if (slot.bound.kind == BoundKind::away) break;
        const Intake taken =
            planned_intake(problem, slot, WholeAmps(amps), thirds(problem.need) - block.missing);
        if (taken.amps == WholeAmps(0)) break;
        if (slot.most < WholeAmps(amps)) return std::nullopt;
        ++block.end;
        block.missing -= taken.net;
        if (dearer_than_cap(problem, slot)) block.above_cap += taken.energy;
        block.cost += taken.energy * slot.price.count();
    }
    block.preference = preference_of(problem, block);
    return block;
}

std::optional<Block> best_from(const Problem& problem, std::size_t begin) {
    std::optional<Block> best;
    for (int amps = problem.least.count(); amps <= problem.slots[begin].most.count(); ++amps) {
        if (amps == problem.missing.count()) continue;
        const auto block = block_from(problem, begin, amps);
        if (!block || block->end == begin) continue;
        if (problem.forced && (*problem.forced < begin || *problem.forced >= block->end)) continue;
        if (!best || *block < *best) best = block;
    }
    return best;
}

// The best block of all starts and the best of the first start there is.
struct Starts {
    std::optional<Block> best;
    std::optional<Block> first;

    // A floor asks for the first start, unless by waiting less is short.
    [[nodiscard]] const std::optional<Block>& chosen(const Problem& problem) const {
        const bool waits = problem.floor <= MilliwattHours{} || !first || best->missing < first->missing;
        return waits ? best : first;
    }
};

Objective objective_of(const Problem& problem, const std::optional<Block>& block) {
    if (!block || problem.need <= MilliwattHours{})
        return {.short_by = std::max(problem.need, MilliwattHours{})};
    return {.short_by = MilliwattHours(-whole_energy(-block->missing)),
            .above_cap = whole_energy(block->above_cap),
            .cost = whole_amount(block->cost),
            .starts = 1};
}

}  // namespace

Plan best_block(const Problem& problem) {
    std::vector<int> amps(problem.slots.size());
    Starts starts;
    for (std::size_t begin = 0; begin < problem.slots.size() && problem.need > MilliwattHours{}; ++begin) {
        const auto block = best_from(problem, begin);
        if (block && (!starts.best || *block < *starts.best)) starts.best = block;
        if (!starts.first) starts.first = block;
    }
    const std::optional<Block>& best = starts.chosen(problem);
    if (best)
        std::fill(amps.begin() + static_cast<std::ptrdiff_t>(best->begin),
                  amps.begin() + static_cast<std::ptrdiff_t>(best->end), best->amps);
    Plan plan = make_plan(problem, amps, best ? best->cost : 0);
    if (best) plan.objective.preference = best->preference;
    return plan;
}

std::vector<Objective> best_block_every_plug_in(const Problem& problem) {
    std::vector<Objective> found(problem.slots.size());
    Starts starts;
    for (std::size_t begin = problem.slots.size(); begin-- > 0;) {
        const auto block = best_from(problem, begin);
        if (block && (!starts.best || *block < *starts.best)) starts.best = block;
        if (block) starts.first = block;
        found[begin] = objective_of(problem, starts.chosen(problem));
    }
    return found;
}

}  // namespace lullwatt::plan
