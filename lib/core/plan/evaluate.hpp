// What given amperes deliver and cost, exactly; nothing here knows how they were found.
//
// Pure functions; call from any thread.
#pragma once

#include <vector>

#include "core/plan/exact.hpp"
#include "core/plan/plan.hpp"

namespace lullwatt::plan {

struct Tally {
    Wide energy = 0;       // at the register, thirds of a milliwatt-hour
    Wide net = 0;          // of it, what is not lost to the overhead
    Wide above_cap = 0;    // of `energy`, in slots dearer than the price cap
    Wide energy_cost = 0;  // thirds of 1e-18 of the currency
    int starts = 0;
    std::vector<WholeAmps> drawn = {};  // by slot
};

// `amps` is what the car is offered. REQUIRES: one entry per slot.
[[nodiscard]] Tally tally(const Problem& problem, const std::vector<int>& amps);

// The ordered objective of a tally; its preference is left 0.
[[nodiscard]] Objective objective_of(const Problem& problem, const Tally& tally);

// Energy of all usable slots at their most without the overhead, in thirds of a milliwatt-hour; `cap` limits
// each slot. The taper does not count.
[[nodiscard]] Wide most_energy(const Problem& problem, WholeAmps cap);

// The greatest current offered, but for what the floor claims. REQUIRES: one entry per slot.
[[nodiscard]] int greatest_beyond_floor(const Problem& problem, const std::vector<int>& amps);

// What the car takes of the plan, by slot.
[[nodiscard]] std::vector<WholeAmps> drawn_of(const Plan& plan);

// A plan of these amperes, its reasons included. `lower_bound` in thirds of 1e-18.
[[nodiscard]] Plan make_plan(const Problem& problem, const std::vector<int>& amps, Wide lower_bound);

}  // namespace lullwatt::plan
