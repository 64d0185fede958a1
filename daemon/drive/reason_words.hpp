// The limiter's reasons in words, for a person and for machines.
//
// Pure functions; call from any thread.
#pragma once

#include <string>

#include "core/control/decision.hpp"
#include "core/control/input.hpp"

namespace lullwatt::daemon {

// One clause: "the house leaves no more at service, leg L1".
[[nodiscard]] std::string reason_text(const control::Reason& reason, const site::Site& site);
// One word: "limit", "no-car".
[[nodiscard]] std::string reason_word(control::Bind bind);
[[nodiscard]] std::string status_word(control::PointStatus status);

}  // namespace lullwatt::daemon
