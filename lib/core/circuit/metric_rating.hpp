// Ratings of overload devices by IEC, and the rules that tie a device to the cable behind it.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "core/circuit/metric_units.hpp"

namespace lullwatt::circuit {

enum class DeviceType : std::uint8_t {
    breaker,  // IEC 60898-1, for households
    fuse_gg,  // IEC 60269
    other,    // of another standard: its rating and operating current are entered
};

struct OverloadDevice {
    DeviceType type = DeviceType::breaker;
    Amps rating{};                            // In
    std::optional<Amps> operating_current{};  // I2; only of a device of another standard
};

// Rising. Empty for `other`. Source: IEC 60898-1 preferred values, IEC 60269 gG, each as printed by two
// makers.
[[nodiscard]] std::span<const Amps> device_ratings(DeviceType type);

[[nodiscard]] bool is_standard_rating(const OverloadDevice& device);

// The least standard rating of at least `current`; empty above the last.
[[nodiscard]] std::optional<Amps> next_rating_up(DeviceType type, Amps current);

// What a breaker of IEC 60898-1 does within the conventional time, an hour (two above 63 A, from memory).
struct ConventionalCurrents {
    Amps never_trips;  // 1.13 In
    Amps trips;        // 1.45 In
};
[[nodiscard]] ConventionalCurrents conventional_currents(Amps breaker);

// I2, at which the device surely operates: 1.45 In of a breaker; 1.45 k3 In of a fuse, k3 = 1.31 below 16 A
// and 1.10 from there (IEC 60364-4-43 cl. 433.1 as in two guides). Empty for `other` without one entered.
[[nodiscard]] std::optional<Amps> operating_current(const OverloadDevice& device);

// I2 may be 1.45 Iz at most (IEC 60364-4-43 cl. 433.1).
[[nodiscard]] constexpr Amps operating_limit(Amps cable_capacity) { return 1.45 * cable_capacity; }

}  // namespace lullwatt::circuit
