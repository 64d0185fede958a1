// A simulated household second by second: what each appliance draws on each leg.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <span>
#include <vector>

#include "core/rehearse/random.hpp"
#include "core/site/site.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::rehearse {

// One run of an appliance; times count from the rehearsal's start. A thermostat switches it on and off in
// turn, beginning with on; `off` 0 is a steady load.
struct LoadRun {
    Seconds begin{0};
    Seconds end{0};
    site::LegAmps amps{};
    Seconds on{1};
    Seconds off{0};
    site::LegAmps inrush{};  // more in the first second of each time on
};

[[nodiscard]] site::LegAmps draw(std::span<const LoadRun> runs, Seconds at);

// The runs of one day of an electrically heated household on a split-phase supply: oven, dryer, water heater,
// kettle, heat pump with backup heat, and what is always on. Some runs end after midnight.
// REQUIRES: 0 <= day_of_year < 366, 0 being 1 January of a northern winter.
[[nodiscard]] std::vector<LoadRun> household_day(Random& random, Seconds midnight, int day_of_year);

}  // namespace lullwatt::rehearse
