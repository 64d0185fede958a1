// The clock of a meter that keeps time by itself: a fixed offset, or summer time by a rule of its own.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>

#include "core/tariff/tariff.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::tariff {

// The tariff's clock where its file says all of it; none where it goes by a zone, named or the household's.
// Known over at least `known`. REQUIRES: `known` not empty.
[[nodiscard]] std::optional<Zone> own_clock(const Tariff& tariff, Interval known);

}  // namespace lullwatt::tariff
