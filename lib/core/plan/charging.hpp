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

// What `amps`, above 0, bring into the battery in all of the slot, in thirds of a milliwatt-hour.
[[nodiscard]] Wide net_of(const Problem& problem, const Slot& slot, WholeAmps amps);

// What a car takes in one slot.
struct Intake {
    WholeAmps amps;   // at the slot's begin; 0 where it takes nothing, or too little to feed the overhead
    Wide net = 0;     // into the battery, in thirds of a milliwatt-hour
    Wide energy = 0;  // the same at the register
};

// The most the car takes in a slot before which `net` was charged, in thirds of a milliwatt-hour without the
// overhead; empty: whatever it is offered.
[[nodiscard]] std::optional<WholeAmps> accepted(const Problem& problem, const Slot& slot, Wide net);

// What the car takes of `offered`. In a slot in which it passes a step of the taper that counts up to the
// step, rounded up to what the slot tells apart, or what the lower current brings in all of it, if that is
// more.
[[nodiscard]] Intake intake(const Problem& problem, const Slot& slot, WholeAmps offered, Wide net);

// The same of a plan by the problem's manner: by hand the car itself stops within the slot in which its need
// is in.
[[nodiscard]] Intake planned_intake(const Problem& problem, const Slot& slot, WholeAmps offered, Wide net);

}  // namespace lullwatt::plan
