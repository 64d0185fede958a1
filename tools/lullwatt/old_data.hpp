// Whether the meter data behind a house's worst load has grown old.
//
// Pure function; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "io/household/household.hpp"

namespace lullwatt::tools {

// A line for each node whose worst load rests on meter data that ended long ago: every fail-safe figure rests
// on it.
[[nodiscard]] std::vector<std::string> old_data(const io::Household& household, Instant now);

}  // namespace lullwatt::tools
