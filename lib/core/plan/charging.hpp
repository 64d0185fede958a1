// What a car makes of the current it is offered: the overhead it loses and the taper of its battery.
//
// Pure functions; call from any thread.
#pragma once

#include <optional>

#include "core/plan/exact.hpp"

namespace lullwatt::plan {

// Neither overhead nor taper nor a car that stays asleep: what the search of programme.hpp and the value of
// value.hpp are for.
[[nodiscard]] bool takes_what_it_is_offered(const Problem& problem);

// The most the car takes in a slot before which `net` was charged, in thirds of a milliwatt-hour without
// the overhead; empty: whatever it is offered.
[[nodiscard]] std::optional<WholeAmps> accepted(const Problem& problem, const Slot& slot, Wide net);

// What the car takes of `offered`. 0 where it takes nothing, or too little to feed the overhead.
[[nodiscard]] WholeAmps drawn(const Problem& problem, const Slot& slot, WholeAmps offered, Wide net);

// What `amps`, above 0, bring into the battery in all of the slot, in thirds of a milliwatt-hour.
[[nodiscard]] Wide net_of(const Problem& problem, const Slot& slot, WholeAmps amps);

}  // namespace lullwatt::plan
