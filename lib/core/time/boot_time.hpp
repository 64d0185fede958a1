// Time since the machine started, which goes on through suspend and which no change of the wall clock moves.
//
// Values only; safe to use from any thread.
#pragma once

#include <chrono>
#include <optional>

#include "core/time/instant.hpp"

namespace lullwatt {

using Milliseconds = std::chrono::milliseconds;

// Names the clock; nothing here asks it.
struct BootClock {};

// Ages and leases count on it. It is no Instant: the two neither compare nor subtract.
using BootTime = std::chrono::time_point<BootClock, Milliseconds>;

// Both clocks, read once per event, so that one decision sees one moment.
struct Now {
    BootTime boot;
    std::optional<Instant> wall;  // empty while the wall clock is unproven (design §4)
};

}  // namespace lullwatt
