// Holidays as a tariff file states them.
#pragma once

#include <optional>
#include <string_view>

#include "core/time/holidays.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// Adds a fault for each holiday with no rule, or more than one.
[[nodiscard]] HolidayCalendar read_holidays(const Section& holidays, Faults& faults);

// The day a section under `key` names by `weekday`, `of` and `nth`; none where it could not be read. A fifth
// weekday, which not every month has, is a fault.
[[nodiscard]] std::optional<NthWeekday> read_weekday_rule(const Section& section, std::string_view key,
                                                          Faults& faults);

}  // namespace lullwatt::io
