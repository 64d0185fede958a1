// Energy from a register that counts: what was taken between its readings, whatever order they came in.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::account {

// What a register showed. `at` is by the mended clock, not the equipment's own.
struct RegisterReading {
    Instant at;
    WattHours value;
    friend auto operator<=>(const RegisterReading&, const RegisterReading&) = default;
};

// What is possible at this register: tells a reading from an error.
struct RegisterRules {
    Watts most;                              // can flow, as installed
    WattHours resolution = WattHours(1);     // of what it shows
    std::optional<WattHours> rolls_at = {};  // counts on from 0 instead of reaching it
};

struct EnergyStep {
    Interval when;
    WattHours energy;  // never negative
    friend bool operator==(const EnergyStep&, const EnergyStep&) = default;
};

struct Counted {
    std::vector<EnergyStep> steps;  // ascending, without gaps; from the first reading to the last
    WattHours energy;               // the steps' sum
    WattHours uncounted;            // may have flowed besides, at most, where the register broke off
    int resets = 0;                 // began again from 0
    int rollovers = 0;              // ran full and counted on
    int breaks = 0;                 // went on from a value that nothing explains
    int dropped = 0;                // readings that the ones around them refute
};

// What the register steps by, as far as its readings tell: 1 kWh at most. 1 Wh where there are none.
[[nodiscard]] WattHours shown_resolution(const std::vector<RegisterReading>& readings);

// A reading said twice counts once; of several at one instant the greatest does. A fall is a rollover where
// the register's end is known and near, else a reset where so much can have flowed since, else the reading
// before was wrong, else a break. While the register only rises, energy is last − first, however many
// readings between them are lost. REQUIRES: rules.most > 0.
[[nodiscard]] Counted count_register(std::vector<RegisterReading> readings, const RegisterRules& rules);

}  // namespace lullwatt::account
