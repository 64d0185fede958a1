// What a dwelling asks of its service by the load calculations of the NEC and the Canadian Electrical Code,
// and the most its supply equipment may be set to.
//
// Pure functions over plain values; call from any thread. Sources of each figure stand in the sources beside
// it; none of the codes themselves was read, and every sheet says that the code book decides.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/circuit/calculation.hpp"
#include "core/circuit/code.hpp"

namespace lullwatt::circuit {

// "NEC 2023 220.83(A) existing, cars apart at 125 %, climate apart": how a sheet is headed. Cars: their
// supply equipment; climate: heating or cooling; apart: not among the loads that count two fifths.
[[nodiscard]] std::string title(const Basis& basis);

// NEC 2017, 2020, 2023 and 2026, of which less is known; C22.1 of 2021 and 2024.
[[nodiscard]] std::span<const int> editions(Code code);

// Every method of a code with each reading of what it leaves open, the most usual first. REQUIRES: one of
// `editions`. `adds_climate`: heating or cooling is added together with the equipment.
[[nodiscard]] std::vector<Basis> readings(Code code, int edition, const Dwelling& dwelling,
                                          bool adds_climate);

// The sheet, or why there is none: an edition whose figures are not known, a supply that the method is not
// for.
[[nodiscard]] Outcome calculate(const Dwelling& dwelling, const Basis& basis);

// The most whole amperes, 6 to 80 and not 52, that one equipment may be set to while everything else stays
// as it is. Nothing: not even 6 A, or the method does not apply. REQUIRES: index < dwelling.equipment.size().
[[nodiscard]] std::optional<WholeAmps> largest_setting(const Dwelling& dwelling, std::size_t index,
                                                       const Basis& basis);

// What the household draws by calculation without any car, for the worst load (docs/design.md §5): by the
// method that asks for least, in its strictest reading, as a household may choose one and an authority the
// other. Nothing where none applies.
[[nodiscard]] std::optional<Amps> demand_without_cars(const Dwelling& dwelling, Code code, int edition);

}  // namespace lullwatt::circuit
