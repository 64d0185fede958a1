#include "core/plan/joint_cost.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/plan/joint_bound.hpp"
#include "core/plan/joint_close.hpp"
#include "core/plan/joint_dive.hpp"
#include "core/plan/joint_model.hpp"
#include "core/plan/joint_search.hpp"

namespace lullwatt::plan {
namespace {

// The best amperes for when the best plan's cars charge.
void tune(const JointGrid& grid, const std::vector<std::int64_t>& targets, Search& search, Work& work,
          const MixedSolver& solver) {
    JointGrid fixed = grid;
    for (std::size_t i = 0; i < grid.cars.size(); ++i) fix_pattern(fixed, i, (*search.best())[i]);
    if (auto amps = best_amps(fixed, targets, work, solver)) search.offer(std::move(*amps), work);
}

}  // namespace

Cheapest find_cheapest(const JointGrid& grid, const std::vector<std::int64_t>& targets,
                       std::optional<JointAmps> known, Work& work, const MixedSolver& solver) {
    Ascent ascent(grid, targets);
    Search search(grid, targets, ascent);
    Cheapest found;
    const auto settled = [&] {
        return search.best() && closed(grid, grid.money(search.cost()), grid.money(*ascent.bound()));
    };
    // The first step plans each car alone: where no row is exceeded, that is the optimum.
    ascent.climb(0, work);
    if (feasible(grid, targets, ascent.wishes())) known = ascent.wishes();
    if (known) search.offer(std::move(*known), work);

    constexpr int kQuietDives = 60;
    constexpr int kPlansFirst = 3;
    const bool many = grid.cars.size() > kManyCars && solver.growing;
    if (!settled() && many && !work.stopped()) {
        // Columns take their time: some plan first.
        for (int i = 0; i < kPlansFirst && !search.best(); ++i) search.step(work);
        Dive dive(grid, targets, ascent, solver);
        if (auto amps = dive.first(work)) search.offer(std::move(*amps), work);
        for (int quiet = 0; search.best() && !settled() && quiet < kQuietDives && !work.spent(); ++quiet) {
            auto amps = dive.again(*search.best(), work);
            if (!amps) continue;
            search.offer(std::move(*amps), work);
            quiet = 0;
        }
    }
    if (!settled() && !many && solver.row_prices && !work.stopped()) {
        const JointModel model(grid, targets, Aim::least_money, false);
        const std::vector<double> prices = solver.row_prices(model.programme());
        if (!prices.empty()) ascent.start_at(model.multipliers(prices));
    }
    // A solver closes a gap faster than more rounds do.
    const int rounds = solver && !many ? 60 : std::numeric_limits<int>::max();
    constexpr int kClimbsPerSearch = 3;
    constexpr int kQuietEnough = 40;
    constexpr int kHopeless = 20;  // searches that find no plan at all
    int searches = 0;
    int quiet = 0;
    for (int round = 0; round < rounds && !settled() && !work.spent(); ++round) {
        const bool may_climb = !many && !ascent.stuck();
        if (may_climb) {
            const Wide hoped = *ascent.bound() + (*ascent.bound() < 0 ? -1 : 1) * *ascent.bound() / 20;
            ascent.climb(search.best() ? search.cost() : hoped, work);
        }
        if (may_climb && round % kClimbsPerSearch != 0) continue;
        const Wide before = search.best() ? search.cost() : 0;
        search.step(work);
        quiet = search.best() && before == search.cost() ? quiet + 1 : 0;
        if (!search.best() && ++searches >= kHopeless) break;
        if (!may_climb && quiet >= kQuietEnough) break;
    }
    found.money_bound = grid.money(*ascent.bound());
    if (many && search.best() && !settled() && !work.stopped()) tune(grid, targets, search, work, solver);
    constexpr std::size_t kTooMany = 30;  // the compact programme then takes all the time and tells nothing
    if (search.best() && !settled() && solver && grid.cars.size() <= kTooMany && !work.stopped())
        close_by_solver(grid, targets, ascent, search, found, work, solver);
    found.amps = search.best();
    return found;
}

Feasibility find_any(const JointGrid& grid, const std::vector<std::int64_t>& targets, Work& work,
                     const MixedSolver& solver) {
    for (std::size_t i = 0; i < targets.size(); ++i) {
        if (targets[i] > grid.cars[i].most) return {Answer::no, {}};
    }
    // Without costs the bound of a set of targets that some plan meets is never above 0: above it, none does.
    JointGrid bare = grid;
    for (JointGrid::Car& car : bare.cars) {
        car.start = 0;
        for (GridSlot& slot : car.slots) slot.cost = 0;
    }
    bare.per_start = 1;
    bare.per_money = 1;
    Ascent ascent(bare, targets);
    Search search(bare, targets, ascent);
    constexpr Wide kAim = 1'000'000'000;  // any scale will do: without costs the bound grows with multipliers
    constexpr int kRounds = 40;
    constexpr int kRoundsAlone = 150;
    constexpr double kShare = 0.5;  // of the budget; the rest is for money
    for (int round = 0; round < (solver ? kRounds : kRoundsAlone) && !work.spent(kShare) && !work.hurried();
         ++round) {
        if (!ascent.stuck()) ascent.climb(kAim, work);
        if (*ascent.bound() > 0) return {Answer::no, {}};
        if (feasible(grid, targets, ascent.wishes())) return {Answer::yes, ascent.wishes()};
        search.step(work);
        if (search.best()) return {Answer::yes, *search.best()};
    }
    if (!solver || work.hurried()) return {};
    for (const bool whole_amps : {false, true}) {
        const JointModel model(grid, targets, Aim::any_plan, whole_amps);
        const Asked asked =
            ask(grid, targets, model, solver, {work.budget().nodes, [&work] { return work.hurried(); }});
        if (asked.amps) return {Answer::yes, *asked.amps};
        if (asked.exhausted) return {Answer::no, {}};
    }
    return {};
}

}  // namespace lullwatt::plan
