// Planning one car where the bill also charges for the month: its highest power, and energy at a price that
// depends on how much was used.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/plan/peak.hpp"
#include "core/plan/plan.hpp"

namespace lullwatt::plan {

// Energy of some slots whose price depends on what the bill, day, season or year has counted already.
struct StepAccount {
    struct Step {
        std::optional<MilliwattHours> up_to;  // the last one: none
        Rate rate;                            // losses and tax included
    };
    std::string name;
    std::vector<bool> slots;  // one per slot of the problem: whether its energy counts
    MilliwattHours used;      // what is counted without the car, until the account closes
    std::vector<Step> steps;
    Rate held;  // of these, the rate that the slots' prices hold
};

struct MonthCosts {
    std::vector<PeakCharge> peaks;
    std::vector<StepAccount> steps;
    [[nodiscard]] bool none() const { return peaks.empty() && steps.empty(); }
};

// The costs for the same night plugged in at the begin of a slot.
[[nodiscard]] MonthCosts from_slot(const MonthCosts& costs, std::size_t slot);

struct PeakOutcome {
    Milliwatts before;  // PeakCharge::free
    Milliwatts after;   // with the plan
    ExactAmount cost;   // that the difference adds to the bill
};

struct StepOutcome {
    std::size_t before = 0;  // index into the account's steps: where its use lies without the car
    std::size_t after = 0;   // where it lies with the plan
    MilliwattHours taken;    // by the car
    ExactAmount cost;        // of all steps of the account
};

struct MonthPlan {
    // As it was planned: prices at the step each account ends in; `most` and `bound` by the peaks it keeps.
    Problem problem;
    // objective.cost, month_cost and lower_bound hold peaks and steps.
    Plan plan;
    std::vector<PeakOutcome> peaks;  // beside MonthCosts::peaks
    std::vector<StepOutcome> steps;  // beside MonthCosts::steps
    // Whether plan.lower_bound reaches its cost. It does for a driven car that takes what it is offered.
    bool proven = true;
};

// The best plan by the ordered objective with peaks and steps in its money. Without any it is solve().
// Where the proof stays open the plan is the best found, and lower_bound says how far it may be off.
[[nodiscard]] MonthPlan solve_month(const Problem& problem, const MonthCosts& costs);

// What given currents cost beside the slots' prices. REQUIRES: one entry per slot.
[[nodiscard]] Wide month_thirds(const Problem& problem, const MonthCosts& costs,
                                const std::vector<WholeAmps>& drawn);

}  // namespace lullwatt::plan
