#include "core/plan/joint_turns.hpp"

#include <algorithm>
#include <utility>

#include "core/plan/evaluate.hpp"
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

JointAmps forced_only(const JointGrid& grid) {
    JointAmps amps(grid.cars.size(), std::vector<int>(grid.slots()));
    for (std::size_t i = 0; i < amps.size(); ++i) {
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            const GridSlot& slot = grid.cars[i].slots[t];
            if (!slot.may_rest) amps[i][t] = slot.lo;
        }
    }
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
        Targets least = least_short(problem, grid, forced_only(grid), work, solver);
        found.targets = std::move(least.units);
        found.shortfalls_proven = least.proven;
        known = std::move(least.amps);
    }
    found.cheapest = find_cheapest(grid, found.targets, std::move(known), work, solver);
    return found;
}

// A car that charges gently does so on the room the others leave it, where that costs neither money nor
// starts.
void go_gently(const JointProblem& problem, JointAmps& amps) {
    for (std::size_t i = 0; i < amps.size(); ++i) {
        if (problem.cars[i].preference != Preference::gentle) continue;
        const Problem rest = rest_of(problem, amps, i);
        const Objective before = make_plan(rest, amps[i], 0).objective;
        const Plan gentle = solve(rest);
        if (gentle.objective.short_by != before.short_by || gentle.objective > before) continue;
        for (std::size_t t = 0; t < amps[i].size(); ++t) amps[i][t] = gentle.slots[t].amps.count();
    }
}

std::vector<int> offered(const Plan& plan) {
    std::vector<int> amps;
    for (const PlannedSlot& slot : plan.slots) amps.push_back(slot.amps.count());
    return amps;
}

Objective objective(const JointProblem& problem, const JointAmps& amps, std::size_t car) {
    return make_plan(rest_of(problem, amps, car), amps[car], 0).objective;
}

// What a whole plan is worth, smaller is better: shares short, the greatest first; energy above the caps;
// money; starts.
struct Worth {
    std::vector<Shortfall> shortfalls;
    MilliwattHours above_cap;
    ExactAmount cost;
    int starts = 0;
    friend bool operator<(const Worth& a, const Worth& b) {
        if (a.shortfalls != b.shortfalls)
            return std::ranges::lexicographical_compare(a.shortfalls, b.shortfalls);
        if (a.above_cap != b.above_cap) return a.above_cap < b.above_cap;
        if (a.cost != b.cost) return a.cost < b.cost;
        return a.starts < b.starts;
    }
};

Worth worth(const JointProblem& problem, const JointAmps& amps) {
    Worth sum;
    for (std::size_t i = 0; i < amps.size(); ++i) {
        const Objective one = objective(problem, amps, i);
        sum.shortfalls.push_back({one.short_by, problem.cars[i].need});
        sum.above_cap += one.above_cap;
        sum.cost += one.cost;
        sum.starts += one.starts;
    }
    std::ranges::sort(sum.shortfalls, std::greater<>{});
    return sum;
}

class Turns {
  public:
    Turns(const JointProblem& problem, Work& work, const MixedSolver& solver)
        : problem_(problem), work_(work), solver_(solver) {
        for (std::size_t i = 0; i < problem.cars.size(); ++i)
            (what_sets_apart(problem, i) ? apart_ : together_).push_back(i);
        // Who must leave first chooses first; where that ties, by name.
        std::ranges::sort(apart_, [&](std::size_t a, std::size_t b) {
            const std::size_t one = last_slot(a);
            const std::size_t other = last_slot(b);
            return one != other ? one < other : problem_.cars[a].name < problem_.cars[b].name;
        });
    }

    Settled plan() {
        const JointAmps nothing(problem_.cars.size(), std::vector<int>(problem_.slots.size()));
        JointAmps first = nothing;
        const Settled known = add_together(first);
        add_apart(first);
        improve(first);
        Settled found{.amps = first, .proof = known.proof};
        prove(nothing, known, found);
        if (found.bound && worth(problem_, first).cost <= whole_amount(*found.bound)) return found;

        JointAmps other = nothing;
        add_apart(other);
        (void)add_together(other);
        improve(other);
        if (worth(problem_, other) < worth(problem_, found.amps)) found.amps = std::move(other);
        prove(nothing, known, found);
        return found;
    }

  private:
    [[nodiscard]] std::size_t last_slot(std::size_t car) const {
        std::size_t last = 0;
        const auto& slots = problem_.cars[car].slots;
        for (std::size_t t = 0; t < slots.size(); ++t) {
            if (slots[t].most >= problem_.cars[car].least) last = t;
        }
        return last;
    }

    Settled add_together(JointAmps& amps) {
        Settled part = plan_together(part_of(problem_, together_, amps), work_, solver_);
        for (std::size_t i = 0; i < together_.size(); ++i) amps[together_[i]] = part.amps[i];
        return part;
    }

    void add_apart(JointAmps& amps) {
        for (const std::size_t car : apart_) amps[car] = offered(solve(rest_of(problem_, amps, car)));
    }

    // Each car anew on what the others leave, until none gains.
    void improve(JointAmps& amps) {
        std::size_t quiet = 0;
        for (std::size_t car = 0; quiet < amps.size() && !work_.spent(); car = (car + 1) % amps.size()) {
            ++quiet;
            const Plan better = solve(rest_of(problem_, amps, car));
            work_.count();
            if (better.objective >= objective(problem_, amps, car)) continue;
            amps[car] = offered(better);
            quiet = 1;
        }
    }

    // The bound of those planned together with nothing beside them, and each of the others by itself, hold
    // for plans that leave no car less short and no more above its cap than those do.
    void prove(const JointAmps& nothing, const Settled& known, Settled& found) const {
        found.bound = known.bound;
        found.shortfalls_proven = known.shortfalls_proven;
        bool as_good = std::ranges::all_of(problem_.cars,
                                           [](const JointCar& car) { return car.floor <= MilliwattHours{}; });
        JointAmps together = nothing;
        for (std::size_t i = 0; i < together_.size(); ++i) together[together_[i]] = known.amps[i];
        for (const std::size_t car : together_) {
            as_good &=
                objective(problem_, found.amps, car).short_by == objective(problem_, together, car).short_by;
        }
        for (const std::size_t car : apart_) {
            const Plan alone = solve(rest_of(problem_, nothing, car));
            const Objective now = objective(problem_, found.amps, car);
            as_good &= now.short_by == alone.objective.short_by && now.above_cap == alone.objective.above_cap;
            if (found.bound) *found.bound += Wide{3} * alone.objective.cost.atto();
        }
        if (as_good) return;
        found.bound = std::nullopt;
        found.shortfalls_proven = false;
    }

    const JointProblem& problem_;
    Work& work_;
    const MixedSolver& solver_;
    std::vector<std::size_t> together_, apart_;
};

}  // namespace

Settled plan_together(const JointProblem& problem, Work& work, const MixedSolver& solver) {
    if (problem.cars.empty()) return {.amps = {}, .bound = Wide{0}};
    const JointGrid grid = make_joint_grid(problem);
    Found found = find(problem, grid, work, solver);
    Settled settled{.amps = *std::move(found.cheapest.amps),
                    .shortfalls_proven = found.shortfalls_proven,
                    .bound = found.cheapest.money_bound * grid.thirds_per_money,
                    .proof = found.cheapest.proof};
    if (!work.stopped()) go_gently(problem, settled.amps);
    return settled;
}

Settled plan_in_turn(const JointProblem& problem, Work& work, const MixedSolver& solver) {
    return Turns(problem, work, solver).plan();
}

}  // namespace lullwatt::plan
