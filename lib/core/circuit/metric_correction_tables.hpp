// Factors by which surroundings lessen a tabulated capacity, as tabulated by IEC 60364-5-52 and BS 7671.
//
// Pure functions over constants; call from any thread.
#pragma once

#include <optional>

#include "core/circuit/metric_cable.hpp"

namespace lullwatt::circuit {

struct TableFactor {
    double value;
    Evidence evidence;
};

// Each gives the first row that is not milder than what is asked, or nothing beyond the table's end.
[[nodiscard]] std::optional<TableFactor> iec_ambient_factor(Insulation insulation, bool in_ground,
                                                            Celsius ambient);
[[nodiscard]] std::optional<TableFactor> bs_ambient_factor(Insulation insulation, bool in_ground,
                                                           Celsius ambient);
// IEC B.52.17 and B.52.18, BS 7671 4C1. REQUIRES: circuits >= 1.
[[nodiscard]] std::optional<TableFactor> grouping_factor(Grouping grouping, int circuits);
// IEC B.52.16. REQUIRES: a grouping in the ground.
[[nodiscard]] std::optional<TableFactor> soil_factor(Grouping grouping, KelvinMetresPerWatt soil);

}  // namespace lullwatt::circuit
