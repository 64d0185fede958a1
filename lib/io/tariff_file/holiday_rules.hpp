// Holidays as a tariff file states them.
#pragma once

#include "core/time/holidays.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// Adds a fault for each holiday with no rule, or more than one.
[[nodiscard]] HolidayCalendar read_holidays(const Section& holidays, Faults& faults);

}  // namespace lullwatt::io
