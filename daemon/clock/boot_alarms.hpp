// Alarms on the computer's clock since boot, and notice of a wall clock that was set.
//
// Loop thread only. A timer of the kernel each (timerfd), so that a suspended machine rings what fell due as
// soon as it wakes.
#pragma once

#include <functional>
#include <memory>

#include "daemon/loop/loop.hpp"
#include "daemon/ports/alarm.hpp"

namespace lullwatt::daemon {

class BootAlarms final : public Alarms {
  public:
    // REQUIRES: the loop outlives it and every alarm.
    explicit BootAlarms(Loop& loop) : loop_(loop) {}
    [[nodiscard]] std::unique_ptr<Alarm> alarm(std::function<void()> ring) override;

  private:
    Loop& loop_;
};

// Calls `stepped` each time somebody sets the wall clock (not when it is slewed), until it is destroyed.
class ClockSteps {
  public:
    ClockSteps(Loop& loop, std::function<void()> stepped);
    ~ClockSteps();
    ClockSteps(const ClockSteps&) = delete;
    ClockSteps& operator=(const ClockSteps&) = delete;

  private:
    struct Inside;
    std::shared_ptr<Inside> inside_;
};

}  // namespace lullwatt::daemon
