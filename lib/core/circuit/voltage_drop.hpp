// Voltage drop and loss along a run of North American wire: NEC chapter 9, tables 8 and 9, and the K form.
//
// Constants and pure functions; call from any thread. All lengths are one way.
#pragma once

#include <cstdint>
#include <optional>

#include "core/circuit/metric_units.hpp"
#include "core/circuit/raceway.hpp"
#include "core/circuit/wire_size.hpp"

namespace lullwatt::circuit {

struct FootUnit;
using Feet = Quantity<FootUnit, double>;
struct OhmPerThousandFeetUnit;
using OhmsPerThousandFeet = Quantity<OhmPerThousandFeetUnit, double>;

// A foot is 0.3048 m.
[[nodiscard]] constexpr Feet feet(Metres length) { return Feet(length.count() / 0.3048); }

enum class Build : std::uint8_t { solid, stranded };

// Table 8, direct current, 75 °C, uncoated. Empty: not made so, or above 4/0 AWG.
[[nodiscard]] std::optional<OhmsPerThousandFeet> dc_resistance(Metal metal, Build build, WireSize size);

// R2 = R1 (1 + a (T - 75 °C)), a 0.00323 copper, 0.00330 aluminium.
[[nodiscard]] OhmsPerThousandFeet at_temperature(OhmsPerThousandFeet at_75, Metal metal, Celsius temperature);

enum class Conduit : std::uint8_t { pvc, aluminium, steel };

// Table 9, alternating current, 75 °C, three single conductors in a conduit; to neutral.
struct AcImpedance {
    OhmsPerThousandFeet resistance;
    OhmsPerThousandFeet reactance;
};
// Empty: 14 AWG aluminium, or above 4/0 AWG. Where transcriptions differ the greater is kept.
[[nodiscard]] std::optional<AcImpedance> ac_impedance(Metal metal, Conduit conduit, WireSize size);

// R cos φ + X sin φ (note 2 of table 9). REQUIRES: 0 < power_factor <= 1.
[[nodiscard]] OhmsPerThousandFeet effective_impedance(const AcImpedance& of, double power_factor);

struct RunSupply {
    Volts across;  // of both conductors; of three phases, line to line
    Phases phases = Phases::single;
};

struct RunDrop {
    Volts drop;
    Percent percent;  // of RunSupply::across
    Watts loss;       // in all loaded conductors together
};

// 2 (or √3) × current × length × resistance. REQUIRES: across above 0; length and current >= 0.
[[nodiscard]] RunDrop run_drop(OhmsPerThousandFeet resistance, const RunSupply& supply, Feet length,
                               Amps current);

// The same by effective_impedance; the loss by resistance alone, for reactance heats nothing. REQUIRES:
// across above 0; length and current >= 0; 0 < power_factor <= 1.
[[nodiscard]] RunDrop run_drop(const AcImpedance& impedance, double power_factor, const RunSupply& supply,
                               Feet length, Amps current);

// 2 (or √3) K I D / circular mils, K 12.9 copper, 21.2 aluminium (at 75 °C). A cooler wire's 10.4 and 17.1
// circulate too and are not used.
[[nodiscard]] RunDrop run_drop_by_k(Metal metal, WireSize size, const RunSupply& supply, Feet length,
                                    Amps current);

// The longest run within a share of the supply's voltage; unrounded. REQUIRES: current above 0.
[[nodiscard]] Feet longest_run(OhmsPerThousandFeet impedance, const RunSupply& supply, Amps current,
                               Percent limit);

// 3 % of a branch circuit or feeder, 5 % of both together: in NEC an informational note to 210.19 and 215.2,
// in C22.1 rule 8-102.
inline constexpr Percent kBranchDrop{3};
inline constexpr Percent kTotalDrop{5};

}  // namespace lullwatt::circuit
