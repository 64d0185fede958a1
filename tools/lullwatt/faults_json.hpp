// Faults for machines.
#pragma once

#include <string>

#include "io/fault/fault.hpp"

namespace lullwatt::tools {

// A JSON list.
[[nodiscard]] std::string faults_json(const io::Faults& faults);

}  // namespace lullwatt::tools
