// A plan as an immutable value: amperes per slot, what they deliver and cost, why each slot is what it is,
// and the proof that nothing feasible is better.
//
// Values only; safe to read from any thread.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/plan/problem.hpp"

namespace lullwatt::plan {

// Why a slot carries what it carries. Worded only at the edge (tools, page).
enum class Why : std::uint8_t {
    floor,             // charging: below the floor, so at once
    cheapest,          // charging at `most`: the price is below the plan's marginal price
    fills_the_rest,    // charging below `most`: the need is met with less
    bridges,           // charging although a dearer hour: a stop and a new start would cost more
    no_choice,         // charging: every usable slot is needed
    dearer,            // off: the need is met in cheaper slots
    below_minimum,     // off: `most` is below the least current; `bound` says what takes it
    start_not_worth,   // off: cheap enough, but not worth another start
    same_price_other,  // off: no dearer and next to what is charged, but the preference takes other slots
    needs_met,         // off: the need is met before it
    outside_block,     // off: by hand, one start and one current
    tapers,            // charging with all the car takes at this state of charge
    away,              // off: the car is not there
    above_cap,         // off: dearer than the household's cap, and nothing is short without it
    would_not_wake,    // off: cheap enough, but the car does not go on after a pause
    takes_no_more,     // off: the battery takes nothing more, for it is short or its floor has filled it
    apart,             // off: no dearer, but it would take another start, or the preference takes other slots
    hours_not_worth,   // off: cheap enough, but not worth the overhead of more hours, or another start
    gentle,            // charging with the greatest current of a gentle plan, below `most`
    short_without,     // charging: dearer than the household's cap, but else the need is not met
};

struct PlannedSlot {
    WholeAmps amps;   // what the car is offered
    WholeAmps drawn;  // what it takes of it; less only where it tapers below its least current
    Why why = Why::needs_met;
    friend bool operator==(const PlannedSlot&, const PlannedSlot&) = default;
};

// The ordered objective of design §6, compared in this order.
struct Objective {
    MilliwattHours short_by;
    MilliwattHours above_cap;  // at the register, in slots dearer than the price cap
    ExactAmount cost;          // energy, start costs and what the month adds, exact
    int starts = 0;
    std::int64_t preference = 0;  // solver's measure of early, late or gentle; smaller is better
    friend std::strong_ordering operator<=>(const Objective& a, const Objective& b) {
        if (const auto c = a.short_by <=> b.short_by; c != 0) return c;
        if (const auto c = a.above_cap <=> b.above_cap; c != 0) return c;
        if (const auto c = a.cost <=> b.cost; c != 0) return c;
        if (const auto c = a.starts <=> b.starts; c != 0) return c;
        return a.preference <=> b.preference;
    }
    friend bool operator==(const Objective&, const Objective&) = default;
};

struct Plan {
    std::vector<PlannedSlot> slots;  // one per slot of the problem
    MilliwattHours delivered;        // at the register
    MilliwattHours lost;             // of it, to the overhead
    // Where nothing is short: need <= delivered − lost < need + one slot's least.
    Objective objective;
    ExactAmount energy_cost;             // of the slots, at their prices
    ExactAmount month_cost = {};         // what peaks and steps of the month add to them (month.hpp)
    ExactAmount lower_bound;             // proof: no feasible plan with this shortfall costs less
    std::optional<Rate> marginal_price;  // the dearest price the plan pays, absent when nothing is charged
};

}  // namespace lullwatt::plan
