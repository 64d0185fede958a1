// What a meter recorded: energy per interval, in order, with the gaps left open.
//
// A value; safe to read from any thread.
#pragma once

#include <cstdint>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/time/instant.hpp"

namespace lullwatt {

enum class Quality : std::uint8_t { measured, estimated, questionable };

struct EnergyReading {
    Interval when;
    MilliwattHours energy;
    Quality quality = Quality::measured;
    friend bool operator==(const EnergyReading&, const EnergyReading&) = default;
};

// Ascending, non-empty intervals that do not overlap; a gap between two is a gap in the data.
using EnergySeries = std::vector<EnergyReading>;

// Mean power of one reading. REQUIRES: reading.when is not empty.
[[nodiscard]] inline Watts mean_power(const EnergyReading& reading) {
    const auto seconds = static_cast<double>(reading.when.length().count());
    return Watts(static_cast<double>(reading.energy.count()) * 3.6 / seconds);
}

}  // namespace lullwatt
