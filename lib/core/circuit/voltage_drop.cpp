#include "core/circuit/voltage_drop.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace lullwatt::circuit {
namespace {

constexpr std::size_t kSizes = 13;  // 14 to 4/0 AWG
using ResistanceBySize = std::array<double, kSizes>;
constexpr double kNone = 0;

// NEC chapter 9 table 8, by metal and build.
constexpr std::array<std::array<ResistanceBySize, 2>, 2> kDirect = {{
    {{{3.07, 1.93, 1.21, 0.764, kNone, kNone, kNone, kNone, kNone, kNone, kNone, kNone, kNone},
      {3.14, 1.98, 1.24, 0.778, 0.491, 0.308, 0.245, 0.194, 0.154, 0.122, 0.0967, 0.0766, 0.0608}}},
    {{{5.06, 3.18, 2.00, 1.26, kNone, kNone, kNone, kNone, kNone, kNone, kNone, kNone, kNone},
      {5.17, 3.25, 2.04, 1.28, 0.808, 0.508, 0.403, 0.319, 0.253, 0.201, 0.159, 0.126, 0.100}}},
}};

// NEC chapter 9 table 9: reactance in PVC or aluminium conduit, and in steel.
constexpr std::array<ResistanceBySize, 2> kReactance = {{
    {0.058, 0.054, 0.050, 0.052, 0.051, 0.048, 0.047, 0.045, 0.046, 0.044, 0.043, 0.042, 0.041},
    {0.073, 0.068, 0.063, 0.065, 0.064, 0.060, 0.059, 0.057, 0.057, 0.055, 0.054, 0.052, 0.051},
}};

// The same: resistance by metal, and by conduit of PVC, aluminium, steel.
constexpr std::array<std::array<ResistanceBySize, 3>, 2> kAlternating = {{
    {{{3.1, 2.0, 1.2, 0.78, 0.49, 0.31, 0.25, 0.19, 0.15, 0.12, 0.10, 0.077, 0.062},
      {3.1, 2.0, 1.2, 0.78, 0.49, 0.31, 0.25, 0.20, 0.16, 0.13, 0.10, 0.082, 0.067},
      {3.1, 2.0, 1.2, 0.78, 0.49, 0.31, 0.25, 0.20, 0.16, 0.12, 0.10, 0.079, 0.063}}},
    {{{kNone, 3.2, 2.0, 1.3, 0.81, 0.51, 0.40, 0.32, 0.25, 0.20, 0.16, 0.13, 0.10},
      {kNone, 3.2, 2.0, 1.3, 0.81, 0.51, 0.41, 0.32, 0.26, 0.21, 0.16, 0.13, 0.11},
      {kNone, 3.2, 2.0, 1.3, 0.81, 0.51, 0.40, 0.32, 0.25, 0.20, 0.16, 0.13, 0.10}}},
}};

std::optional<double> cell(const ResistanceBySize& row, WireSize size) {
    const auto at = static_cast<std::size_t>(size);
    if (at >= kSizes || row[at] == kNone) return std::nullopt;
    return row[at];
}

double conductors(const RunSupply& supply) { return supply.phases == Phases::single ? 2 : std::sqrt(3.0); }

RunDrop of_ohms(double ohms_one_way, const RunSupply& supply, Amps current) {
    const double drop = conductors(supply) * ohms_one_way * current.count();
    const double loaded = supply.phases == Phases::single ? 2 : 3;
    return {Volts(drop), Percent(drop / supply.across.count() * 100),
            Watts(loaded * ohms_one_way * current.count() * current.count())};
}

}  // namespace

std::optional<OhmsPerThousandFeet> dc_resistance(Metal metal, Build build, WireSize size) {
    const auto found = cell(kDirect[static_cast<std::size_t>(metal)][static_cast<std::size_t>(build)], size);
    return found ? std::optional(OhmsPerThousandFeet(*found)) : std::nullopt;
}

OhmsPerThousandFeet at_temperature(OhmsPerThousandFeet at_75, Metal metal, Celsius temperature) {
    const double a = metal == Metal::copper ? 0.00323 : 0.00330;
    return at_75 * (1 + a * (temperature.count() - 75));
}

std::optional<AcImpedance> ac_impedance(Metal metal, Conduit conduit, WireSize size) {
    const auto resistance =
        cell(kAlternating[static_cast<std::size_t>(metal)][static_cast<std::size_t>(conduit)], size);
    const auto reactance = cell(kReactance[conduit == Conduit::steel ? 1 : 0], size);
    if (!resistance || !reactance) return std::nullopt;
    return AcImpedance{OhmsPerThousandFeet(*resistance), OhmsPerThousandFeet(*reactance)};
}

OhmsPerThousandFeet effective_impedance(const AcImpedance& of, double power_factor) {
    const double sine = std::sqrt(std::max(0.0, 1 - power_factor * power_factor));
    return of.resistance * power_factor + of.reactance * sine;
}

RunDrop run_drop(OhmsPerThousandFeet resistance, const RunSupply& supply, Feet length, Amps current) {
    return of_ohms(resistance.count() * length.count() / 1000, supply, current);
}

RunDrop run_drop(const AcImpedance& impedance, double power_factor, const RunSupply& supply, Feet length,
                 Amps current) {
    RunDrop run = run_drop(effective_impedance(impedance, power_factor), supply, length, current);
    run.loss = run_drop(impedance.resistance, supply, length, current).loss;
    return run;
}

RunDrop run_drop_by_k(Metal metal, WireSize size, const RunSupply& supply, Feet length, Amps current) {
    const double k = metal == Metal::copper ? 12.9 : 21.2;
    return of_ohms(k * length.count() / area(size).count(), supply, current);
}

Feet longest_run(OhmsPerThousandFeet impedance, const RunSupply& supply, Amps current, Percent limit) {
    const double volts = supply.across.count() * limit.count() / 100;
    return Feet(volts * 1000 / (conductors(supply) * current.count() * impedance.count()));
}

}  // namespace lullwatt::circuit
