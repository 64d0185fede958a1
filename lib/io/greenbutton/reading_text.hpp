// How a meter file's times and energies are told in its faults.
//
// Pure functions; call from any thread.
#pragma once

#include <string>

#include "core/quantity/money.hpp"
#include "core/time/instant.hpp"
#include "io/csv/label.hpp"

namespace lullwatt::io {

// "2026-03-01T14:15:00Z to 2026-03-01T14:30:00Z".
[[nodiscard]] inline std::string span_text(Interval when) {
    return utc_text(when.begin) + " to " + utc_text(when.end);
}
// "12.500 Wh".
[[nodiscard]] inline std::string energy_text(MilliwattHours energy) {
    return decimal_text(energy.count(), 3) + " Wh";
}

}  // namespace lullwatt::io
