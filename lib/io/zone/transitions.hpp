// What a zone's clock does over a stretch of time, by the two libraries that read its file. Part of
// load_zone.
//
// Threads: those of GlibcClock.
#pragma once

#include <optional>
#include <vector>

#include <date/tz.h>

#include "core/time/zone.hpp"
#include "io/zone/glibc_clock.hpp"

namespace lullwatt::io {

// What the transitions listed in the zone's file say, the rule at its end left out.
[[nodiscard]] GlibcClock::Reading listed_at(const date::time_zone& listed, Instant at);

// The first instant of `span` found at which the list and glibc differ: both edges of each stretch between
// transitions, and a look a day within.
[[nodiscard]] std::optional<Instant> first_difference(const date::time_zone& listed, const GlibcClock& clock,
                                                      Interval span);

// All changes over `known`, the first at its begin: those listed up to the last, then what glibc makes of the
// rule. REQUIRES: `known` is not empty.
[[nodiscard]] std::vector<Zone::Change> changes_in(const date::time_zone& listed, const GlibcClock& clock,
                                                   Interval known, Instant last_listed);

}  // namespace lullwatt::io
