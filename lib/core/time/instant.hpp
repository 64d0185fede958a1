// Instants are UTC seconds; civil time exists only in tariffs, habits and what people read.
//
// Values only; safe to use from any thread.
#pragma once

#include <chrono>

#include <date/date.h>

namespace lullwatt {

using Seconds = std::chrono::seconds;
using Instant = std::chrono::sys_seconds;  // adding two of them does not compile
using CivilTime = date::local_seconds;     // a wall clock's label, without its zone
using CivilDate = date::year_month_day;

// Half open: `begin` belongs to it, `end` does not. Empty when end <= begin.
struct Interval {
    Instant begin;
    Instant end;

    [[nodiscard]] constexpr bool contains(Instant at) const { return begin <= at && at < end; }
    [[nodiscard]] constexpr Seconds length() const { return end - begin; }
    friend constexpr bool operator==(const Interval&, const Interval&) = default;
};

}  // namespace lullwatt
