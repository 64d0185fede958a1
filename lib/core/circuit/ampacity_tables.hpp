// What conductors carry in North America, as tabulated: NEC table 310.16, C22.1 tables 2 and 4, and what
// changes it.
//
// Constants and pure functions; call from any thread. NEC 2017, 2020, 2023 and C22.1:24, as pages print and
// transcribe them (docs/checks.md); neither code was read. Older editions print other figures in several
// cells. Beyond a table nothing is guessed.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

#include "core/circuit/code.hpp"
#include "core/circuit/metric_units.hpp"
#include "core/circuit/wire_size.hpp"

namespace lullwatt::circuit {

// A column of the tables: the temperature that a conductor may reach.
enum class Column : std::uint8_t { c60, c75, c90 };

// "310.15(B)(16)" in NEC 2017, "310.16" from 2020; "table 2" or "table 4" of C22.1.
[[nodiscard]] std::string_view ampacity_table(Code code, int edition, Metal metal);

struct TabulatedAmpacity {
    Amps ampacity;  // not more than three current-carrying conductors, 30 °C
    Evidence evidence = Evidence::one_source;
};

// The same in both codes. Empty: aluminium of 14 AWG.
[[nodiscard]] std::optional<TabulatedAmpacity> tabulated_ampacity(Metal metal, WireSize size, Column column);

// NEC table 310.15(B)(1)(1), in 2017 310.15(B)(2)(a), for a base of 30 °C. Rows are of whole degrees: a
// fraction belongs to the hotter row. Its first row, up to 10 °C, has no lower end. Empty: hotter than the
// column reaches, or no number.
[[nodiscard]] std::optional<double> ambient_correction(Column column, Celsius ambient);

// NEC table 310.15(C)(1), in 2017 310.15(B)(3)(a): more than three current-carrying conductors together.
// Spare ones count; equipment grounding conductors and raceways of at most 24 in do not. REQUIRES: 1 or more.
[[nodiscard]] double conductor_adjustment(int conductors);

// NEC 240.4(D), C22.1 14-104(2): the largest device before a small conductor, whatever its ampacity.
[[nodiscard]] std::optional<Amps> small_conductor_limit(Metal metal, WireSize size);

// What the terminals at both ends are marked for; the lower mark counts.
enum class Terminals : std::uint8_t { unmarked, marked_60, marked_75 };

// NEC 110.14(C)(1), C22.1 4-006: the column that the terminals allow. Unmarked ones belong to 60 °C up to
// 100 A or 1 AWG, and to 75 °C above 100 A or 1 AWG: where both hold, 60 °C is taken.
[[nodiscard]] Column terminal_column(Terminals terminals, Amps device, WireSize size);

}  // namespace lullwatt::circuit
