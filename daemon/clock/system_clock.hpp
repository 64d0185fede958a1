// The computer's own clocks.
//
// May be asked from any thread.
#pragma once

#include "daemon/ports/clock.hpp"

namespace lullwatt::daemon {

class SystemClock final : public Clock {
  public:
    [[nodiscard]] Moment now() const override;
};

}  // namespace lullwatt::daemon
