// Times as a person types them on the command line.
//
// Pure function; call from any thread.
#pragma once

#include <optional>
#include <string>

#include "core/time/zone.hpp"

namespace lullwatt::tools {

// "2026-10-20T18:00" or "2026-10-20 18:00" by the zone's clock; the same with "Z" or "+02:00" at its end as
// an instant; "18:00" as the first such time after `now`. Empty where it is none of these, or no such day
// exists.
[[nodiscard]] std::optional<Instant> parse_time(const std::string& text, const Zone& zone, Instant now);

// The label by the zone's clock that `text` names, where it names one: not an instant with "Z" or an offset.
[[nodiscard]] std::optional<CivilTime> parse_label(const std::string& text, const Zone& zone, Instant now);

struct TimeWithin {
    Instant at;
    std::optional<CivilTime> label;  // as parse_label()
};

// A time of `span`: as parse_time() just before it, but the second of two instants with the same label where
// the first is before `span` and the second in it. It may lie outside where the text is of no time in it.
[[nodiscard]] std::optional<TimeWithin> parse_time_within(const std::string& text, const Zone& zone,
                                                          Interval span);

inline constexpr const char* kTimeForms = "'18:00', '2026-10-20T18:00' or '2026-10-20T18:00-03:00'";

}  // namespace lullwatt::tools
