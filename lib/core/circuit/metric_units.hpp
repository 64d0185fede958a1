// Units of circuit sizing by IEC and BS 7671, and how well a tabulated figure is attested.
//
// Values only; safe to use from any thread.
#pragma once

#include <cstdint>

#include "core/quantity/quantity.hpp"

namespace lullwatt::circuit {

struct CelsiusUnit;
struct KelvinMetrePerWattUnit;
struct MilliohmPerMetreUnit;
struct OhmUnit;
struct PercentUnit;
struct SquareMillimetreUnit;

using Celsius = Quantity<CelsiusUnit, double>;
using KelvinMetresPerWatt = Quantity<KelvinMetrePerWattUnit, double>;  // thermal resistivity of soil
using MilliohmsPerMetre = Quantity<MilliohmPerMetreUnit, double>;      // the same figure as Ω/km and mV/A/m
using Ohms = Quantity<OhmUnit, double>;
using Percent = Quantity<PercentUnit, double>;
using SquareMillimetres = Quantity<SquareMillimetreUnit, double>;

// A supply, or a cable by how many of its conductors are loaded: two (single) or three.
enum class Phases : std::uint8_t { single, three };

enum class Insulation : std::uint8_t { pvc_70, xlpe_90 };  // with its conductor temperature, °C

// How many independent pages print a tabulated figure. None was read in the standard itself: whoever relies
// on one looks it up there. Ordered from strong to weak.
enum class Evidence : std::uint8_t {
    two_sources,
    one_source,
    disputed,  // pages print different figures; the one kept is the safer or the better founded
};

// No greater than, where both come of decimal figures: 0.8 × 25 A is 20 A, though not in binary. Published
// figures that differ do so by far more than the 1e-9 A allowed for that.
[[nodiscard]] constexpr bool at_most(Amps current, Amps limit) {
    return current.count() <= limit.count() + 1e-9;
}

}  // namespace lullwatt::circuit
