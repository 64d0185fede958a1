// Time labels as meters' files write them, with or without an offset from UTC.
//
// Pure functions; call from any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/time/instant.hpp"

namespace lullwatt::io {

struct TimeLabel {
    CivilTime label;
    std::optional<Seconds> offset;  // from UTC, where it is written: the label then names one instant
    friend bool operator==(const TimeLabel&, const TimeLabel&) = default;
};

// ISO 8601 in extended form: "2026-03-01T14:15", seconds optional and whole, a space for the T, 24:00 for the
// midnight that ends a day, then nothing, "Z", "+05:30", "+0530" or "-05". Years 1900 to 2399.
[[nodiscard]] std::optional<TimeLabel> parse_iso_label(std::string_view text);

// By a pattern of strptime's letters, such as "%d.%m.%Y %H:%M"; %z reads an offset. All of `text` must match.
[[nodiscard]] std::optional<TimeLabel> parse_label(const std::string& text, const std::string& pattern);

// "2026-03-01T14:15:00Z".
[[nodiscard]] std::string utc_text(Instant at);

}  // namespace lullwatt::io
