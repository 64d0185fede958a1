// The current of a plan in words.
//
// Pure functions; call from any thread.
#pragma once

#include <string>

#include "core/plan/plan.hpp"

namespace lullwatt::tools {

// "20 A" where it charges with that all along, "up to 20 A" where its currents differ. REQUIRES: it charges.
[[nodiscard]] std::string current_text(const plan::Plan& plan);

// What it begins with; 0 where it never charges.
[[nodiscard]] WholeAmps first_current(const plan::Plan& plan);

}  // namespace lullwatt::tools
