// Whether the supply came back after an interruption, and how long a point then waits.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstdint>
#include <optional>

#include "core/control/house_watch.hpp"

namespace lullwatt::control {

// Equipment that started again while the meter was silent, or soon after, lost its supply. A lost link or a
// restarted daemon is none (design §7). REQUIRES: `silence` longer than LimiterOptions::interruption.
[[nodiscard]] bool supply_was_interrupted(const HouseWatch::Silence& silence, BootTime rebooted,
                                          const LimiterOptions& options);

// Between LimiterOptions::wait_least and wait_most, whole seconds, by `seed` and the point's place, so that
// the cars of a street do not come back together. The same seed gives the same wait.
[[nodiscard]] Seconds wait_after_interruption(std::uint64_t seed, std::size_t point,
                                              const LimiterOptions& options);

}  // namespace lullwatt::control
