// What the limiter is told: the meter's samples, the equipment's reports, the plan, holds and ceilings.
//
// Plain values, each copied by the limiter; safe to build on any thread.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/site/site.hpp"
#include "core/time/boot_time.hpp"

namespace lullwatt::control {

// What a meter's figure means on one leg. Some tell no direction: they are read as drawing.
enum class Direction : std::uint8_t { drawing, feeding };

// One reading of a node's meter. A retained message is none.
struct MeterSample {
    std::size_t node = 0;
    BootTime arrived;
    site::LegAmps amps{};  // magnitudes, at or above 0
    std::array<Direction, 3> direction{};
    Amps resolution{};           // of this reading; what exceeds the node's own counts as load
    site::LegAmps generation{};  // metered generation behind this meter, added back: it is no relief
};

enum class PointStatus : std::uint8_t {
    empty,             // no car
    connected,         // a car, no transaction
    charging,          // the car may draw
    suspended_by_car,  // the offer stands, the car does not want it
    suspended_by_us,   // no offer
    finished,          // the transaction is over, the car still there
    faulted,
};

// What equipment said of one point; what it did not say is empty.
struct PointReport {
    BootTime taken;  // when it was measured, by our clock; never later than now
    std::optional<PointStatus> status;
    std::optional<WholeAmps> offer;        // what it lets the car draw
    std::optional<site::LegAmps> current;  // what the car draws
    std::optional<WattHours> energy_register;
};

// What the plan gives a point, by the wall clock.
struct PlannedPiece {
    Interval when;
    WholeAmps amps;  // 0 or from the minimum
};
struct PointPlan {
    std::vector<PlannedPiece> pieces;  // ascending, contiguous
    std::optional<Seconds> slack;      // time to spare before ready-by; none: no ready-by, yields first
};

// No charging: until that time by the wall clock, or until it is lifted. While the clock is unproven a hold
// with a time stays.
struct Hold {
    std::optional<Instant> until;
};

// An outside limit on all that a node draws, cars and house: a network operator's signal, an allotment. It
// never raises the node's own limit.
struct Ceiling {
    Amps most;
    BootTime until;  // when the signal counts as lost
    Amps when_lost;  // from then on
};

// What a point does while the wall clock is unproven and no plan can be read.
enum class WhenUnproven : std::uint8_t { wait, standing, charge };

}  // namespace lullwatt::control
