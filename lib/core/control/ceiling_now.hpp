// What a node's outside ceilings by the clock mean to the limiter at this moment.
//
// Pure function over plain values; call from any thread.
#pragma once

#include <optional>

#include "core/control/input.hpp"
#include "core/control/settings.hpp"
#include "core/site/site.hpp"

namespace lullwatt::control {

// By the wall clock: the least of those in force, or else what the node may carry anyway, until one may begin
// or end, in a day at the latest; ask again then. Not asked again, or while the clock is unproven, the least
// of all of them holds. Empty where the node has none. REQUIRES: now.wall and the day after it are within
// zone.known().
[[nodiscard]] std::optional<Ceiling> ceiling_now(const site::Node& node, const Zone& zone, const Now& now);

}  // namespace lullwatt::control
