// Standard ratings of overcurrent devices by NEC 240.6(A), and the largest that may protect a conductor.
//
// Pure functions over plain values; call from any thread. Editions 2017, 2020 and 2023; the list of any other
// is not known here. The Canadian list (C22.1 Table 13) was found in no document read.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "core/circuit/metric_units.hpp"

namespace lullwatt::circuit {

enum class OvercurrentDevice : std::uint8_t { breaker, fuse };  // breaker: inverse time, not adjustable

// Rising. Empty for an edition not known. From 2023 breakers come in 10 A too.
[[nodiscard]] std::span<const Amps> standard_ratings(int edition, OvercurrentDevice device);

// The least standard rating of at least `current`; empty above the last.
[[nodiscard]] std::optional<Amps> next_standard_rating(int edition, OvercurrentDevice device, Amps current);

// What a device or conductor must be rated for: 125 % of what lasts three hours or more, and the rest as it
// is (210.19(A), 210.20(A), 625.41; the same as continuous <= 80 % of the rating).
[[nodiscard]] constexpr Amps required_rating(Amps continuous, Amps noncontinuous = {}) {
    return 1.25 * continuous + noncontinuous;
}

// The least standard rating that carries such loads.
[[nodiscard]] std::optional<Amps> least_device(int edition, OvercurrentDevice device, Amps continuous,
                                               Amps noncontinuous = {});

struct ProtectionLimit {
    Amps rating;              // of the device, at most
    bool rounded_up = false;  // only as the next higher standard rating above the ampacity
};

// 240.4(B): where the ampacity is no standard rating, the next higher one may protect the conductor, up to
// 800 A, but not in a branch circuit of several receptacles for portable loads. 240.4(C): above 800 A the
// ampacity itself.
[[nodiscard]] ProtectionLimit protection_limit(int edition, OvercurrentDevice device, Amps ampacity,
                                               bool several_receptacles = false);

}  // namespace lullwatt::circuit
