// The faults of what was typed, alike for all commands.
//
// Pure; call from any thread.
#pragma once

#include <string>
#include <utility>

#include "io/fault/fault.hpp"

namespace lullwatt::tools {

inline constexpr const char* kCommandLine = "command line";  // Fault::file of an option's fault

[[nodiscard]] inline io::Fault option_fault(std::string option, std::string what, std::string value,
                                            std::string allowed, std::string mend = {}) {
    return {kCommandLine,   0, 0, std::move(option), std::move(what), std::move(value), std::move(allowed),
            std::move(mend)};
}

}  // namespace lullwatt::tools
