// Prices so large that a bill of them would not fit: bounded far above any currency's, so that nothing
// overflows later.
//
// Call from any thread.
#pragma once

#include "core/tariff/tariff.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

void check_bounds(const Section& file, const tariff::Tariff& tariff, Faults& faults);

}  // namespace lullwatt::io
