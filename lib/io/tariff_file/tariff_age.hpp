// Whether a tariff's prices are still those of today, as far as its file says.
//
// Call from any thread.
#pragma once

#include <filesystem>

#include "core/time/instant.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::io {

// Notices with line and mend; they refuse nothing. Of the revisions at most one: none holds today yet, or the
// last has ended, ends within 60 days, or has no end and began more than a year ago. Of prices announced hour
// by hour: announced_price_notices. REQUIRES: read_tariff_file accepts `file`.
[[nodiscard]] Faults old_prices(const std::filesystem::path& file, CivilDate today);

}  // namespace lullwatt::io
