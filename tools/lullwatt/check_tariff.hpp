// A tariff file checked by itself, without a site.
#pragma once

#include <string>

#include "tools/lullwatt/command.hpp"

namespace lullwatt::tools {

// Prints every fault of the file, or what it holds and whether its prices are still those of today.
[[nodiscard]] Exit check_tariff(const std::string& file, bool json, Shell& shell);

}  // namespace lullwatt::tools
