// A car as the planner knows it: what its battery holds, what it takes, and what its household needs by when.
//
// Plain values; safe to read from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>

#include "core/quantity/quantity.hpp"

namespace lullwatt::vehicle {

struct Car {
    std::string name;
    WattHours battery;                    // usable
    WholeAmps most;                       // what it takes at most, per leg
    int legs = 1;                         // legs (phases) its charger uses; 2 across a split-phase pair
    double efficiency = 0.90;             // battery energy per energy at the equipment's register
    std::optional<WattHours> per_100_km;  // at the battery; needed for a need by distance
    WholeAmps minimum = WholeAmps(6);
};

// What must be in by ready-by. The four forms of design §6.
struct RegisterEnergy {
    WattHours energy;
};
struct ChargeRange {
    StateOfCharge from;
    StateOfCharge to;
};
struct Distance {
    Kilometres kilometres;
};
struct Fill {
    std::optional<StateOfCharge> arrival;  // stated; 30 % (ours) where not
    std::optional<WattHours> learned;      // 90th percentile of this car's sessions, where there is one
};
using Need = std::variant<RegisterEnergy, ChargeRange, Distance, Fill>;

// Energy the equipment's register must count. Empty when the car lacks what the form needs (consumption for a
// distance) or the range runs backwards.
[[nodiscard]] std::optional<MilliwattHours> energy_at_register(const Car& car, const Need& need);

}  // namespace lullwatt::vehicle
