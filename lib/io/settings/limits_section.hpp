// What may flow on a node's legs beside its rating and share: granted power, unbalance, outside ceilings.
#pragma once

#include "core/site/site.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// Of the mapping that became `node`. A fault for a power factor of no power, a balance of one leg, for hours
// that are none, for a ceiling that would never act and for two of different currents at one time. REQUIRES:
// the node's legs, rating and share are read.
void read_limits(const Section& section, site::Node& node, Faults& faults);

}  // namespace lullwatt::io
