// The two codes of North America: National Electrical Code and Canadian Electrical Code, Part I.
//
// Values only.
#pragma once

#include <cstdint>

namespace lullwatt::circuit {

enum class Code : std::uint8_t { nec, cec };

}  // namespace lullwatt::circuit
