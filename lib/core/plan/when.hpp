// "When should I plug in?": the plan from now, charging at once beside it, every later plug-in, and what
// would cure a shortfall.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <compare>
#include <cstddef>
#include <functional>
#include <optional>
#include <vector>

#include "core/plan/solve.hpp"

namespace lullwatt::plan {

struct When {
    Plan best;                       // plugged in at the begin of the first slot
    Plan at_once;                    // at full current from the first slot on, whatever it costs
    std::vector<Objective> plug_in;  // by slot of the problem: the best when plugged in at its begin
    // The slot up to which a plug-in is no worse than `best` in shortfall, energy above the price cap and
    // cost, and the last that leaves no more short.
    std::size_t latest_cheapest = 0;
    std::size_t latest_in_time = 0;
    // The last stretch of plug-ins in time that are least above the cap and of those cost least. Only a floor
    // makes a later plug-in better.
    std::size_t least_from = 0;
    std::size_t least_until = 0;
};

// Whether a plug-in is no worse than another in what a household asks of it; starts and preference aside.
[[nodiscard]] bool no_worse(const Objective& then, const Objective& now);

// Of two that leave the same short, by energy above the price cap and cost.
[[nodiscard]] std::strong_ordering dearness(const Objective& a, const Objective& b);

// REQUIRES: problem.slots not empty.
[[nodiscard]] When answer_when(const Problem& problem);

// Charging at once and at full current, whatever it costs; a car that does not wake gets what its first run
// brings each time it is plugged in. By hand, the block that begins first, at the
// greatest current; a later one where that is less short.
[[nodiscard]] Plan charge_at_once(const Problem& problem);

// Whether a plan of a problem with a floor charges it at once; by hand, whether it begins as soon as it can.
[[nodiscard]] bool keeps_floor(const Problem& problem, const Plan& plan);

// The first and the last instant at which a plan charges; empty where it never does.
[[nodiscard]] std::optional<Interval> charging_span(const Problem& problem, const Plan& plan);

// The greatest current of a plan.
[[nodiscard]] WholeAmps greatest_current(const Plan& plan);

// Something that would end a shortfall, and what the night would cost with it.
struct Cure {
    Instant at;
    Objective objective;
};

// Asks for the problem of another presence; where nothing is known of it (no prices), none.
using Rephrase = std::function<std::optional<Problem>(Interval present)>;

// The latest plug-in, not before `earliest`, and the earliest ready-by, not after `latest`, with nothing
// short. Empty where none is in reach. REQUIRES: present is what the short problem had.
[[nodiscard]] std::optional<Cure> cure_by_earlier_plug_in(const Rephrase& rephrase, Interval present,
                                                          Instant earliest);
[[nodiscard]] std::optional<Cure> cure_by_later_ready_by(const Rephrase& rephrase, Interval present,
                                                         Instant latest);

}  // namespace lullwatt::plan
