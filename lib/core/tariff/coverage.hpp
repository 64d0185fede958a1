// What a tariff leaves unpriced, and windows that never count: found once when a file is read, not night by
// night.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <vector>

#include "core/tariff/window.hpp"

namespace lullwatt::tariff {

// Hours that no window of a revision holds, and the kinds of day this happens on, ascending. A holiday is one
// kind whatever its weekday (0 here).
struct Hole {
    std::size_t revision = 0;
    std::vector<DayKind> days;
    Seconds from{0};
    Seconds to{0};
};
[[nodiscard]] std::vector<Hole> holes(const Tariff& tariff);

// Windows that are never the first to hold an instant, on any kind of day in any season.
struct Shadowed {
    std::size_t revision = 0;
    std::size_t window = 0;
    std::vector<std::size_t> hidden_by;  // windows above it, ascending; none: it holds no hour at all
};
[[nodiscard]] std::vector<Shadowed> shadowed(const Tariff& tariff);

// Days of the year that no season holds, or more than one; the first of each such stretch.
struct SeasonFault {
    date::month_day day;
    bool twice = false;
};
[[nodiscard]] std::vector<SeasonFault> season_faults(const Tariff& tariff);

}  // namespace lullwatt::tariff
