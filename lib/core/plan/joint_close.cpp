#include "core/plan/joint_close.hpp"

#include <algorithm>

#include "core/plan/joint_narrow.hpp"

namespace lullwatt::plan {
namespace {

// The grid in which all cars charge when they do in `amps` outside the slots from `begin` to `end`; what is
// decided already stays.
JointGrid open_between(const JointGrid& grid, const JointAmps& amps, std::size_t begin, std::size_t end) {
    JointGrid out = grid;
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            GridSlot& slot = out.cars[i].slots[t];
            if (slot.hi == 0 || !slot.may_rest || (begin <= t && t < end)) continue;
            if (amps[i][t] > 0) {
                slot.may_rest = false;
            } else {
                slot.lo = slot.hi = slot.missing = 0;
            }
        }
    }
    return out;
}

// Slots in which it is open whether some car charges.
std::vector<std::size_t> undecided(const JointGrid& grid) {
    const auto open = [](const GridSlot& slot) { return slot.hi > 0 && slot.may_rest; };
    std::vector<std::size_t> slots;
    for (std::size_t t = 0; t < grid.slots(); ++t) {
        if (std::ranges::any_of(grid.cars, [&](const JointGrid::Car& car) { return open(car.slots[t]); }))
            slots.push_back(t);
    }
    return slots;
}

// A part of the night at a time is opened to the solver, the rest charges as in the best plan.
void better_by_parts(const JointGrid& grid, const std::vector<std::int64_t>& targets, const Ascent& ascent,
                     Search& search, Work& work, const MixedSolver& solver) {
    constexpr std::int64_t kNodes = 40;
    constexpr std::size_t kEnough = 24;  // slots: fewer are no trouble as a whole
    for (const std::size_t parts : {std::size_t{6}, std::size_t{3}}) {
        const JointGrid narrow = narrowed(grid, targets, ascent, search.cost());
        const std::vector<std::size_t> open = undecided(narrow);
        if (open.size() < kEnough) return;
        const std::size_t width = open.size() / parts + 1;
        for (std::size_t from = 0; from < open.size() && !work.stopped(); from += width / 2 + 1) {
            const std::size_t end = from + width < open.size() ? open[from + width] : grid.slots();
            const JointGrid part = open_between(narrow, *search.best(), open[from], end);
            JointModel model(part, targets, Aim::least_money, false);
            model.ask_below(grid.money(search.cost()));
            const Asked asked = ask(grid, targets, model, solver, {kNodes, work.budget().stop});
            if (asked.amps) search.offer(*asked.amps, work);
        }
    }
}

}  // namespace

// The cutoff below which a gap counts as closed: 1e-6 of the cost, 1e-8 of the currency at least.
bool closed(const JointGrid& grid, Wide money, Wide bound) {
    if (bound >= money) return true;
    const auto thirds = static_cast<double>(grid.thirds_per_money);
    const double cost = std::abs(static_cast<double>(money)) * thirds / 3e18;
    return static_cast<double>(money - bound) * thirds / 3e18 <= 0.9e-6 * std::max(cost, 0.01);
}

// A solver's word is taken for a plan only after it is checked in whole numbers.
Asked ask(const JointGrid& grid, const std::vector<std::int64_t>& targets, const JointModel& model,
          const MixedSolver& solver, const MixedEffort& effort) {
    const MixedAnswer answer = solver.whole(model.programme(), effort);
    Asked asked{.exhausted = answer.exhausted, .bound = answer.bound};
    if (answer.values.empty()) return asked;
    JointAmps amps = model.amps(answer.values);
    if (feasible(grid, targets, amps)) {
        asked.amps = std::move(amps);
    } else {
        asked.exhausted = false;
    }
    return asked;
}

void close_by_solver(const JointGrid& grid, const std::vector<std::int64_t>& targets, const Ascent& ascent,
                     Search& search, Cheapest& found, Work& work, const MixedSolver& solver) {
    better_by_parts(grid, targets, ascent, search, work, solver);
    if (work.stopped() || closed(grid, grid.money(search.cost()), found.money_bound)) return;
    const JointGrid narrow = narrowed(grid, targets, ascent, search.cost());
    for (const bool whole_amps : {false, true}) {
        if (whole_amps && grid.laminar == false) return;
        JointModel model(narrow, targets, Aim::least_money, whole_amps);
        model.ask_below(grid.money(search.cost()));
        const Asked asked = ask(grid, targets, model, solver, {work.budget().nodes, work.budget().stop});
        if (asked.amps) search.offer(*asked.amps, work);
        // A bound above a plan that exists refutes itself.
        const Wide bound = model.money_bound(asked.bound);
        if (bound > found.money_bound && bound <= grid.money(search.cost())) {
            found.money_bound = bound;
            found.proof = Proof::solver;
        }
        if (asked.exhausted || asked.amps || work.stopped()) return;
    }
}

}  // namespace lullwatt::plan
