// Which window of a revision holds a time of a day.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <vector>

#include "core/tariff/tariff.hpp"

namespace lullwatt::tariff {

// A kind of day as windows see it.
struct DayKind {
    std::optional<std::size_t> season;  // empty where the tariff has none
    unsigned weekday = 0;               // 0 is Sunday
    bool holiday = false;
};

// The tariff day a wall-clock label belongs to, and its kind.
[[nodiscard]] DayKind day_kind(const Tariff& tariff, CivilDate date);
[[nodiscard]] CivilDate tariff_day(const Tariff& tariff, CivilTime label);

// The first window that holds a time of day on such a day; none: not covered.
[[nodiscard]] const Window* window_at(const Revision& revision, const DayKind& day, Seconds time_of_day);

// Times of day at which the window may change, ascending, from 00:00, without 24:00.
[[nodiscard]] std::vector<Seconds> edges(const Revision& revision);

}  // namespace lullwatt::tariff
