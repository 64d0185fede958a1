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

// Why a slot carries what it carries; what each says is true of the plan it stands in. "Best" is by the
// ordered objective: where only that is said, turning the slot over is no better, and no more is known
// without planning again. *Left* is what a slot could carry beside the plan and does not. *Chosen* is what is
// charged beyond the floor. Worded only at the edge (tools, page).
enum class Why : std::uint8_t {
    // Charging, by hand:
    in_block,  // part of the one block
    // Charging, driven or by hand:
    tapers,  // below `most`, or drawn below what is offered: the battery takes no more
    // Charging, driven:
    floor,      // what was charged before is below the floor
    no_choice,  // at `most`, as all usable slots or all the battery takes; without any of them more is short
    falls_short,    // something is short; at `most`, or more here would leave no less
    short_without,  // dearer than the cap: without any such hour, the floor's aside, more is short
    keeps_awake,    // dearer than what is left; a pause, after which the car does not wake
    dearer_rest,  // dearer than what is left, but all that is left at a lower price is not enough without it
    bridges,      // what is left at no higher price could do for it, but would take another start
    no_better,    // dearer than what is left, but the best plan that rests here is no better
    cheapest,     // at `most`: nothing is left at a lower price
    gentle,       // below `most`, the greatest beyond the floor: any lower one costs or starts more
    fills_the_rest,  // below `most`: nothing is left at a lower price, and the need is met
    // Off:
    away,           // the car is not there
    below_minimum,  // `most` is below the least current; `bound` says what takes it
    outside_block,  // by hand, one start and one current
    no_block,       // by hand, a block from here would lack room before its end; there is no other
    needs_met,      // the need is met and nothing is chosen
    takes_no_more,  // the battery takes nothing more, for it is short or its floor has filled it
    // Off, driven:
    would_not_wake,    // no dearer than what is chosen, or some is short; it would be a second run of a
                       // presence
    no_less_short,     // something is short, and no less would be with it
    above_cap,         // dearer than the cap and than what is chosen, and the need is met
    dearer,            // dearer than what is chosen
    same_price_other,  // no dearer: the preference alone takes other slots
    start_not_worth,   // no dearer than some that is chosen: less for energy, but another start
    hours_not_worth,   // the same, but one more slot's overhead, or that and another start
    saves_nothing,     // no dearer than some that is chosen, but the best plan that charges here is no better
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
    ExactAmount energy_cost;      // of the slots, at their prices
    ExactAmount month_cost = {};  // what peaks and steps of the month add to them (month.hpp)
    ExactAmount lower_bound;      // proof: no feasible plan with this shortfall costs less
    // The dearest price that is chosen, of the floor where nothing else is; absent when nothing is charged.
    std::optional<Rate> marginal_price;
};

}  // namespace lullwatt::plan
