// The control pilot between supply equipment and car: duty cycle to current and back, and what a cable's
// coding adds.
//
// Pure functions over plain values; call from any thread. Source: IEC 61851-1:2017 Annex A as copied by
// makers of test instruments, and SAE J1772 (October 2017) p. 17 as quoted by a car's firmware.
#pragma once

#include <cstdint>
#include <optional>

#include "core/circuit/metric_units.hpp"

namespace lullwatt::circuit {

// The two agree but at the edges: IEC grants 6 A from 8 % and 80 A up to 97 %, SAE from 9.5 % and up to 96.5
// %.
enum class PilotStandard : std::uint8_t { iec_61851_1, sae_j1772 };

enum class PilotMeaning : std::uint8_t { no_charging, digital_communication, current };

struct PilotReading {
    PilotMeaning meaning = PilotMeaning::no_charging;
    Amps current{};  // the most a car may draw by the pilot alone: 0 unless the meaning is `current`
    friend constexpr bool operator==(const PilotReading&, const PilotReading&) = default;
};

// What a car reads from a duty cycle. Between 8 and 9.5 %, of which SAE says nothing, the safe reading: none.
// The band of digital communication is IEC's, 3 to 7 %, for both. REQUIRES: 0 <= duty <= 100.
[[nodiscard]] PilotReading pilot_reading(Percent duty, PilotStandard standard = PilotStandard::iec_61851_1);

struct PilotSignal {
    Percent duty;
    Amps current;  // what that duty cycle grants
};

// The duty cycle that grants the most current not above `wanted`. Above 51 up to 52.5 A there is none of its
// own, so 51 A (85 %) is sent; above 80 A, 80 A. Empty below 6 A, which the pilot cannot say.
[[nodiscard]] std::optional<PilotSignal> pilot_signal(Amps wanted);

// The most an installer can set of `most`: never 52 A, which the pilot has not, nor above 80 A.
[[nodiscard]] constexpr WholeAmps settable(WholeAmps most) {
    if (most > WholeAmps(80)) return WholeAmps(80);
    return most == kNotOnThePilot ? WholeAmps(51) : most;
}

// What a detachable cable may carry, by the resistor in its plug (proximity contact to earth): 1500 Ω 13 A,
// 680 Ω 20 A, 220 Ω 32 A, 100 Ω 63 A. Empty where it is none of these within 10 % (the tolerance is ours).
[[nodiscard]] std::optional<Amps> cable_rating(Ohms proximity);

enum class LimitedBy : std::uint8_t { pilot, cable, equipment };

struct EffectiveLimit {
    Amps current;
    LimitedBy by = LimitedBy::pilot;
};

// The least of pilot, cable and equipment; of equals the first named. No cable: it is fixed to the equipment.
// How many phases are used the pilot does not say.
[[nodiscard]] EffectiveLimit effective_limit(const PilotReading& pilot, std::optional<Amps> cable,
                                             Amps equipment);

}  // namespace lullwatt::circuit
