// A part of the year that comes back every year, such as "November 1 to April 30".
//
// A value; safe to read from any thread.
#pragma once

#include "core/time/instant.hpp"

namespace lullwatt {

// From the first day to the last, both included; across the new year where `last` comes before `first`.
// The end of February is written February 29 (or February 28, which leaves the leap day to its neighbour): in
// a common year a season that begins or ends on February 29 begins on March 1 or ends on February 28.
// REQUIRES: both days exist.
struct Season {
    date::month_day first;
    date::month_day last;

    [[nodiscard]] constexpr bool contains(CivilDate date) const {
        const date::month_day day = date.month() / date.day();
        if (first <= last) return first <= day && day <= last;
        return first <= day || day <= last;
    }
    friend constexpr bool operator==(const Season&, const Season&) = default;
};

}  // namespace lullwatt
