// Current-carrying capacities of copper cables, as tabulated by IEC 60364-5-52:2009 and BS 7671 Appendix 4.
//
// Constants; read from any thread.
#pragma once

#include <array>
#include <span>
#include <string_view>

#include "core/circuit/metric_cable.hpp"

namespace lullwatt::circuit {

struct CapacityRow {
    CableKind kind;
    Evidence evidence;
    std::array<double, kCableSizes.size()> amps;  // 0: the table has none
};

[[nodiscard]] std::span<const CapacityRow> capacity_rows();

// How well one cell is attested, where it differs from its row.
[[nodiscard]] Evidence cell_evidence(const CapacityRow& row, SquareMillimetres size);

// "BS 7671 4D1A"
[[nodiscard]] std::string_view table_name(const CableKind& kind);

}  // namespace lullwatt::circuit
