// A limit from outside on all that a node draws, cars and house, in some hours of some days: a network
// operator's notice, a building's allotment.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/time/instant.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::site {

// Hours go by their label on the site's clock: in a repeated hour they hold twice, in a skipped one not.
struct TimedCeiling {
    std::array<bool, 7> days{};  // on which it begins, Sunday first; holidays are days like others
    Seconds from{0};             // time of day, before 24:00
    Seconds to{0};               // to 24:00; not after `from`: on the next day. REQUIRES: not `from` itself
    Amps most;                   // per leg, not negative
    std::string basis;           // who asks for it, in the household's words
};
using TimedCeilings = std::vector<TimedCeiling>;

[[nodiscard]] bool in_force(const TimedCeiling& ceiling, CivilTime label);

// The least of those in force at any time of `when`. REQUIRES: `when` is not empty and within zone.known().
[[nodiscard]] std::optional<Amps> least_within(const TimedCeilings& ceilings, Interval when,
                                               const Zone& zone);

// The least of all of them, whatever the hour.
[[nodiscard]] std::optional<Amps> least_ever(const TimedCeilings& ceilings);

// Instants within `span`, its ends excluded, at which one may begin or end; ascending. REQUIRES: as above.
[[nodiscard]] std::vector<Instant> may_change(const TimedCeilings& ceilings, Interval span, const Zone& zone);

// Whether both are in force at some label of a week.
[[nodiscard]] bool overlap(const TimedCeiling& one, const TimedCeiling& other);

}  // namespace lullwatt::site
