// Voltage drop along a copper cable by the tables of BS 7671 and by the formula of IEC 60364-5-52, and how
// much is allowed.
//
// Pure functions over plain values; call from any thread. Tables and formula differ by up to about 2 %, for
// the printed tables are rounded.
#pragma once

#include <cstdint>
#include <optional>

#include "core/circuit/metric_units.hpp"

namespace lullwatt::circuit {

struct MetricSupply {
    Phases phases = Phases::single;
    Volts line_to_neutral{230};
    Volts line_to_line{400};  // only of three phases
};

// What a percentage of drop is taken of: line to neutral of a single phase, line to line of three.
[[nodiscard]] constexpr Volts drop_base(const MetricSupply& supply) {
    return supply.phases == Phases::single ? supply.line_to_neutral : supply.line_to_line;
}

struct MetricDrop {
    Volts drop;       // single-phase: of both conductors together; three-phase: between lines
    Percent percent;  // of drop_base
    Watts loss;       // heat in the loaded conductors together
};

struct DropPerMetre {
    MilliohmsPerMetre value;  // mV/A/m, as drop is meant above
    Evidence evidence = Evidence::one_source;
};

// BS 7671 4D1B/4D5 (PVC) and 4E1B/4E4B (90 °C), 1 to 35 mm², conductors as hot as they may be. PVC is on one
// page (single-phase 2.5 and 10 mm² on two). Empty for a size that is not tabulated.
[[nodiscard]] std::optional<DropPerMetre> tabulated_drop(Insulation insulation, Phases phases,
                                                         SquareMillimetres size);

// From a figure per metre. `length` is one way. The loss is that of a car: power factor 1, no reactance.
// REQUIRES: length, current >= 0.
[[nodiscard]] MetricDrop drop_over(DropPerMetre per_metre, const MetricSupply& supply, Metres length,
                                   Amps current);

// Metal and build of a conductor by IEC 60228.
enum class ConductorClass : std::uint8_t {
    copper,           // class 1 solid and 2 stranded, plain
    aluminium,        // class 2
    copper_flexible,  // class 5, plain
};

// IEC 60228, at 20 °C; two makers. Empty for a size that is not tabulated.
[[nodiscard]] std::optional<MilliohmsPerMetre> resistance_at_20(ConductorClass conductor,
                                                                SquareMillimetres size);

// Copper: × (1 + 0.00393 (t - 20 °C)); aluminium 0.00403 (from memory).
[[nodiscard]] MilliohmsPerMetre resistance_at(MilliohmsPerMetre at_20, ConductorClass conductor,
                                              Celsius temperature);

// A conductor's own resistance as drop per metre: both conductors of a single phase, √3 of three.
[[nodiscard]] MilliohmsPerMetre drop_of_resistance(MilliohmsPerMetre conductor, Phases phases);

// IEC 60364-5-52 Annex G: u = b (ρ1 L/S cos φ + λ L sin φ) I, b 2 single-phase and 1 three-phase, ρ1 0.0225
// Ω·mm²/m copper, 0.036 aluminium; λ 0.08 mΩ/m (from memory). Given as `drop` is meant above: of three phases
// the formula's line to neutral × √3. A car's power factor is near 1; 0.8 where it is unknown. REQUIRES: size
// > 0, length, current >= 0, 0 < power_factor <= 1.
[[nodiscard]] MetricDrop drop_by_formula(ConductorClass conductor, SquareMillimetres size,
                                         const MetricSupply& supply, Metres length, Amps current,
                                         double power_factor = 1);

enum class DropUse : std::uint8_t { lighting, other };
enum class SupplyOrigin : std::uint8_t { public_network, private_source };

// 3 % lighting and 5 % other uses from the public network, 6 and 8 % from a supply of one's own; beyond 100 m
// 0.005 % a metre more, 0.5 % at most (IEC 60364-5-52 G.52.1, BS 7671 4Ab). From the origin of the
// installation, so any drop before this cable counts too. REQUIRES: length >= 0.
[[nodiscard]] Percent drop_limit(DropUse use, SupplyOrigin origin, Metres length);

// The longest cable within `limit`, a share of drop_base such as drop_limit gives for a short cable;
// unrounded. REQUIRES: current > 0.
[[nodiscard]] Metres longest_run(DropPerMetre per_metre, const MetricSupply& supply, Amps current,
                                 Percent limit);

}  // namespace lullwatt::circuit
