// Days of the week and times of day as settings files write them.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <array>
#include <string_view>

#include "io/settings/section.hpp"

namespace lullwatt::io {

inline constexpr std::string_view kDayChoices =
    "every-day | weekdays | weekends | mon | tue | wed | thu | fri | sat | sun";

// What the list `days` names, Sunday first.
[[nodiscard]] std::array<bool, 7> read_days(const Section& section);

// 24:00 of one day is 00:00 of the next: a fault where a day's own beginning is meant.
void check_before_midnight(const Section& section, std::string_view key, Faults& faults);

}  // namespace lullwatt::io
