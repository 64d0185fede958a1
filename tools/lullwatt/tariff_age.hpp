// Whether a tariff's prices are still those of the utility: what `check` warns of.
//
// Pure function; call from any thread.
#pragma once

#include <string>

#include "io/household/supplies.hpp"

namespace lullwatt::tools {

// A sentence where the newest revision has ended, ends within 60 days, or is more than a year old; else
// empty.
[[nodiscard]] std::string tariff_age(const io::Supply& supply, CivilDate today);

}  // namespace lullwatt::tools
