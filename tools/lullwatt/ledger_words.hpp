// Small words that sessions and reports have in common.
//
// Pure functions; call from any thread.
#pragma once

#include <string>

#include "core/quantity/quantity.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::tools {

// "2026-10-20 18:00"; in UTC with a Z where the zone does not know the time.
[[nodiscard]] std::string label_text(const Zone& zone, Instant at);
// "2026-10-20T18:00:00-03:00", the same.
[[nodiscard]] std::string instant_text(const Zone& zone, Instant at);
// "18.6", of kilowatt-hours.
[[nodiscard]] std::string kwh_text(WattHours energy);
// A name from outside, printable and not too long.
[[nodiscard]] std::string shown_name(const std::string& name);
// The same as a field of a table of comma-separated values.
[[nodiscard]] std::string csv_text(const std::string& name);

}  // namespace lullwatt::tools
