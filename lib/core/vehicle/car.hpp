// A car as the planner knows it: what its battery holds, what it takes, and what its household needs by when.
//
// Plain values; safe to read from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/quantity/quantity.hpp"

namespace lullwatt::vehicle {

// From this state of charge on the car takes no more than `most`.
struct TaperStep {
    StateOfCharge from;
    WholeAmps most;
    friend bool operator==(const TaperStep&, const TaperStep&) = default;
};

struct Car {
    std::string name;
    WattHours battery;                    // usable
    WholeAmps most;                       // what it takes at most, per leg
    int legs = 1;                         // legs (phases) its charger uses; 2 across a split-phase pair
    double efficiency = 0.90;             // battery energy per energy at the equipment's register
    std::optional<WattHours> per_100_km;  // at the battery; needed for a need by distance
    WholeAmps minimum = WholeAmps(6);
    // Lost as long as it charges, whatever its current: control electronics take 100 to 300 W
    // (docs/checks.md, charging-overhead). With it, `efficiency` is the converter's alone, 0.93 to 0.95.
    Watts overhead = Watts(0);
    std::vector<TaperStep> taper = {};  // ascending, with less current each
    bool wakes = true;                  // goes on after a pause
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

// Energy the equipment's register must count, the overhead aside. Empty when the car lacks what the form
// needs (consumption for a distance) or the range runs backwards.
[[nodiscard]] std::optional<MilliwattHours> energy_at_register(const Car& car, const Need& need);

// Whether the need is told at the battery, so that the overhead of charging comes on top of it at the
// register.
[[nodiscard]] bool told_at_battery(const Need& need);

// What the battery is taken to hold when it is plugged in; empty where the need does not tell.
[[nodiscard]] std::optional<StateOfCharge> charge_on_arrival(const Need& need);

// Energy at the register, the overhead aside, that brings the battery from one state of charge to another;
// negative where `to` is the lesser.
[[nodiscard]] MilliwattHours between(const Car& car, StateOfCharge from, StateOfCharge to);

}  // namespace lullwatt::vehicle
