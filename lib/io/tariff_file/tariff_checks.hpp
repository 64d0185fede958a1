// What is wrong with a tariff file although each of its keys is legal: its revisions, hours and prices held
// against each other.
#pragma once

#include "core/tariff/tariff.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// Adds a fault for each. `faults` holds what reading found: a check that would only repeat it is left out.
// REQUIRES: `tariff` was built from `file`, entry by entry, where revisions, windows and overrides are
// concerned.
void check_tariff(const Section& file, const tariff::Tariff& tariff, Faults& faults);

}  // namespace lullwatt::io
