// The joint planner of several cars on shared headroom, driven or set by hand.
//
// Pure but for the caller's `stop` and solver; no shared state; call from any thread.
#pragma once

#include <compare>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "core/plan/joint_problem.hpp"
#include "core/plan/mixed_programme.hpp"
#include "core/plan/plan.hpp"

namespace lullwatt::plan {

// What a plan may cost to find. Counted, not timed: the same problem and budget give the same plan.
struct Budget {
    // Times that one car is planned on prices, bound and search together; one that takes the whole table
    // counts as several.
    std::int64_t pricings = 4'000;
    std::int64_t nodes = 20'000;  // of the solver's branch and bound, for each question to it
    std::function<bool()> stop;   // asked often; true ends the work with the best so far. May be empty
    std::function<bool()> hurry;  // true ends the search for smaller shortfalls: the rest is for money
};

// What is short of what was needed, compared by its share.
struct Shortfall {
    MilliwattHours missing;
    MilliwattHours need;
    friend std::strong_ordering operator<=>(const Shortfall& a, const Shortfall& b);
    friend bool operator==(const Shortfall& a, const Shortfall& b) { return (a <=> b) == 0; }
};

struct CarPlan {
    std::vector<PlannedSlot> slots;  // one per slot of the problem
    MilliwattHours delivered;
    Shortfall short_by;
    MilliwattHours above_cap;  // as in Objective
    ExactAmount energy_cost;
    ExactAmount cost;  // with start costs
    int starts = 0;
};

// Who says that nothing costs less than `lower_bound`.
enum class Proof : std::uint8_t {
    priced,  // exact whole-number arithmetic: headroom priced at multipliers, each car solved exactly
    solver,  // the solver's search, in floating point, rounded down by 1e-7 of the cost
};

// What the joint programme does not know of a car. One such car, and all are planned by pricing and search
// alone: no solver closes what gap they leave.
enum class Apart : std::uint8_t { by_hand, taper, overhead, does_not_wake, price_cap };

struct ApartCar {
    std::size_t car = 0;  // index into JointProblem::cars
    Apart because = Apart::taper;
};

struct JointPlan {
    std::vector<CarPlan> cars;          // one per car of the problem
    std::vector<ApartCar> apart;        // cars that the joint programme does not know
    std::vector<Shortfall> shortfalls;  // of all cars, the greatest share first
    MilliwattHours above_cap;           // of all cars
    ExactAmount cost;
    // No plan that leaves each car this much short and no more above its cap costs less. Empty: none is
    // known, for beside cars of `apart` one could not charge its floor first, has a floor and a price cap and
    // pays more than by itself, or is shorter than it would be by itself while a price is below nothing.
    std::optional<ExactAmount> lower_bound;
    std::int64_t pricings = 0;  // what was used
    int starts = 0;
    Proof proof = Proof::priced;
    bool shortfalls_proven = true;  // no plan has smaller ones, the greatest first

    // (cost − lower_bound) / max(|cost|, 0.01); at most 1e-6 is called proven.
    [[nodiscard]] std::optional<double> gap() const;
    [[nodiscard]] bool cost_proven() const { return lower_bound && *gap() <= 1e-6; }
};

// Feasible whole amperes always. Compared, in this order: the shares that are short, greatest first; money,
// start costs included; and, improved but not proven, starts and preferences. Where shares tie, the plan is
// kind to the car whose name comes first. REQUIRES: what joint_problem.hpp asks.
[[nodiscard]] JointPlan solve_joint(const JointProblem& problem, const Budget& budget = {},
                                    const MixedSolver& solver = {});

// One car by itself while all others keep to the plan: what the reasons of its slots refer to.
struct Beside {
    Problem problem;  // slots within `present` only; the room of each is what the others leave
    Plan plan;        // of the joint plan; its lower bound is its cost, for it proves nothing by itself
};
[[nodiscard]] Beside beside(const JointProblem& problem, const JointPlan& plan, std::size_t car,
                            Interval present);

// The problem alone, as if the other cars of it took nothing.
[[nodiscard]] Problem left_for(const JointProblem& problem, std::size_t car, Interval present);

}  // namespace lullwatt::plan
