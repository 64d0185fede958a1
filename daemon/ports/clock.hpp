// The time, as everything in the daemon is told it: a wall clock that may be stepped, and time since boot for
// ages.
//
// May be asked from any thread. Ask once per event, so that one decision sees one moment.
#pragma once

#include "core/time/boot_time.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::daemon {

struct Moment {
    Instant wall;  // what lies between two of these means nothing when the clock was stepped between them
    BootTime boot;
};

class Clock {
  public:
    Clock() = default;
    Clock(const Clock&) = delete;
    Clock& operator=(const Clock&) = delete;
    virtual ~Clock() = default;
    [[nodiscard]] virtual Moment now() const = 0;
};

}  // namespace lullwatt::daemon
