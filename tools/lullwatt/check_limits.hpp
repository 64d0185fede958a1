// What `check` says of a node's limits: the basis of its share, unbalance between legs, outside ceilings.
#pragma once

#include <array>
#include <cstddef>
#include <string>

#include "core/site/headroom.hpp"

namespace lullwatt::tools {

// What the share of a rating rests on: "nec, continuous load at most 80 % of the rating".
[[nodiscard]] std::string basis_text(const site::ContinuousShare& share);

// Lines, each ended; none where the node has neither.
[[nodiscard]] std::string other_limits_text(const site::Site& site, const site::Unattended& unattended,
                                            std::size_t node);

// "weekdays", or "Mon, Thu".
[[nodiscard]] std::string days_text(const std::array<bool, 7>& days);

// "17:00"
[[nodiscard]] std::string time_of_day_text(Seconds time_of_day);

}  // namespace lullwatt::tools
