// The lists of a bill's lines (`of`) that minimums and percentages are taken of, held against the order in
// which lines are made: charges, minimums, riders, taxes.
//
// Pure functions; call from any thread.
#pragma once

#include "core/tariff/tariff.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// What takes a share of other lines.
enum class Taker : std::uint8_t { minimum, rider, tax };

// `revision` as read so far: only what stands above the taker. `whole` is the revision's section. Told:
// names of no line, and of lines that are made after the taker or are itself.
[[nodiscard]] tariff::LinesOf read_lines_of(const Section& taker, Taker kind, const Section& whole,
                                            const tariff::Revision& revision, Faults& faults);

// Naming a percentage of the same kind includes it, whatever `compound` is by default. REQUIRES: `percentage`
// has its lines, and `above` are those that stand above it.
void settle_compound(const Section& section, const std::vector<tariff::Percentage>& above, Taker kind,
                     tariff::Percentage& percentage, Faults& faults);

}  // namespace lullwatt::io
