// What must hold for any text offered as a tariff file: it is refused, or prices a year in money that adds
// up.
//
// Call from one thread.
#pragma once

#include <string>

namespace lullwatt::fuzz {

// Empty where the rule holds; else what broke it. A crash or a sanitizer's finding breaks it too.
[[nodiscard]] std::string broken_by(const std::string& text);

}  // namespace lullwatt::fuzz
