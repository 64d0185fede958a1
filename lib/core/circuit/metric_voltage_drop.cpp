#include "core/circuit/metric_voltage_drop.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>

namespace lullwatt::circuit {
namespace {

using enum Evidence;

struct DropRow {
    SquareMillimetres size;
    double pvc_single, pvc_three, xlpe_single, xlpe_three;  // mV/A/m; 0: the table has none
};

// clang-format off
// PVC: "Basic Electrical Installation Work" pp. 300-301; 90 °C: two catalogues. 25 mm²: PVC three-phase is the
// table's r, 90 °C its z.
constexpr std::array kDrops{
    DropRow{SquareMillimetres(1.0),   44,   38,    0,    0},
    DropRow{SquareMillimetres(1.5),   29,   25,   31,   27},
    DropRow{SquareMillimetres(2.5),   18,   15,   19,   16},
    DropRow{SquareMillimetres(4),     11,  9.5,   12,   10},
    DropRow{SquareMillimetres(6),    7.3,  6.4,  7.9,  6.8},
    DropRow{SquareMillimetres(10),   4.4,  3.8,  4.7,  4.0},
    DropRow{SquareMillimetres(16),   2.8,  2.4,  2.9,  2.5},
    DropRow{SquareMillimetres(25),  1.75, 1.50, 1.90, 1.65},
    DropRow{SquareMillimetres(35),  1.25, 1.10, 1.35, 1.15},
};

struct ResistanceRow {
    SquareMillimetres size;
    double copper, aluminium, copper_flexible;  // Ω/km at 20 °C; 0: the table as seen has none
};

// IEC 60228.
constexpr std::array kResistances{
    ResistanceRow{SquareMillimetres(1),    18.1,     0,     0},
    ResistanceRow{SquareMillimetres(1.5),  12.1,     0,  13.3},
    ResistanceRow{SquareMillimetres(2.5),  7.41,     0,  7.98},
    ResistanceRow{SquareMillimetres(4),    4.61,     0,  4.95},
    ResistanceRow{SquareMillimetres(6),    3.08,     0,  3.30},
    ResistanceRow{SquareMillimetres(10),   1.83,  3.08,  1.91},
    ResistanceRow{SquareMillimetres(16),   1.15,  1.91,  1.21},
    ResistanceRow{SquareMillimetres(25),  0.727,  1.20, 0.780},
    ResistanceRow{SquareMillimetres(35),  0.524, 0.868, 0.554},
    ResistanceRow{SquareMillimetres(50),  0.387,     0,     0},
};
// clang-format on

constexpr double kRoot3 = std::numbers::sqrt3;
constexpr double kReactance = 0.08e-3;  // λ, Ω/m, from memory

Percent share(Volts part, Volts whole) { return Percent(100 * part.count() / whole.count()); }

double specific_resistance(ConductorClass conductor) {
    return conductor == ConductorClass::aluminium ? 0.036 : 0.0225;
}

}  // namespace

std::optional<DropPerMetre> tabulated_drop(Insulation insulation, Phases phases, SquareMillimetres size) {
    const auto row = std::ranges::find(kDrops, size, &DropRow::size);
    if (row == kDrops.end()) return std::nullopt;
    const bool single = phases == Phases::single;
    if (insulation == Insulation::xlpe_90) {
        const double value = single ? row->xlpe_single : row->xlpe_three;
        if (value == 0) return std::nullopt;
        return DropPerMetre{MilliohmsPerMetre(value), two_sources};
    }
    const bool on_two_pages = single && (size == SquareMillimetres(2.5) || size == SquareMillimetres(10));
    return DropPerMetre{MilliohmsPerMetre(single ? row->pvc_single : row->pvc_three),
                        on_two_pages ? two_sources : one_source};
}

MetricDrop drop_over(DropPerMetre per_metre, const MetricSupply& supply, Metres length, Amps current) {
    assert(length >= Metres(0) && current >= Amps(0));
    const double volts = per_metre.value.count() * 1e-3 * current.count() * length.count();
    // Three conductors lose 3 I² R, and between lines √3 I R is dropped.
    const double circuits = supply.phases == Phases::single ? 1 : kRoot3;
    return {Volts(volts), share(Volts(volts), drop_base(supply)), Watts(circuits * current.count() * volts)};
}

std::optional<MilliohmsPerMetre> resistance_at_20(ConductorClass conductor, SquareMillimetres size) {
    const auto row = std::ranges::find(kResistances, size, &ResistanceRow::size);
    if (row == kResistances.end()) return std::nullopt;
    double value = row->copper;
    if (conductor == ConductorClass::aluminium) value = row->aluminium;
    if (conductor == ConductorClass::copper_flexible) value = row->copper_flexible;
    if (value == 0) return std::nullopt;
    return MilliohmsPerMetre(value);
}

MilliohmsPerMetre resistance_at(MilliohmsPerMetre at_20, ConductorClass conductor, Celsius temperature) {
    const double per_kelvin = conductor == ConductorClass::aluminium ? 0.00403 : 0.00393;
    return (1 + per_kelvin * (temperature.count() - 20)) * at_20;
}

MilliohmsPerMetre drop_of_resistance(MilliohmsPerMetre conductor, Phases phases) {
    return (phases == Phases::single ? 2 : kRoot3) * conductor;
}

MetricDrop drop_by_formula(ConductorClass conductor, SquareMillimetres size, const MetricSupply& supply,
                           Metres length, Amps current, double power_factor) {
    assert(size > SquareMillimetres(0) && length >= Metres(0) && current >= Amps(0));
    assert(power_factor > 0 && power_factor <= 1);
    const bool single = supply.phases == Phases::single;
    const double resistance = specific_resistance(conductor) * length.count() / size.count();
    const double reactance = kReactance * length.count();
    const double along = resistance * power_factor + reactance * std::sqrt(1 - power_factor * power_factor);
    const double amps = current.count();
    const Volts drop{(single ? 2 : kRoot3) * along * amps};
    return {drop, share(drop, drop_base(supply)), Watts((single ? 2 : 3) * resistance * amps * amps)};
}

Percent drop_limit(DropUse use, SupplyOrigin origin, Metres length) {
    assert(length >= Metres(0));
    const bool lighting = use == DropUse::lighting;
    const double base = origin == SupplyOrigin::public_network ? (lighting ? 3 : 5) : (lighting ? 6 : 8);
    return Percent(base + std::clamp(0.005 * (length.count() - 100), 0.0, 0.5));
}

Metres longest_run(DropPerMetre per_metre, const MetricSupply& supply, Amps current, Percent limit) {
    assert(current > Amps(0));
    const double volts = limit.count() / 100 * drop_base(supply).count();
    return Metres(volts / (per_metre.value.count() * 1e-3 * current.count()));
}

}  // namespace lullwatt::circuit
