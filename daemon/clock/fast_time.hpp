// Time that runs faster than the computer's, to show a night in a minute.
//
// It goes from appointment to appointment, as fast as asked where this computer can keep up, and stands still
// while something is under way: so what is decided is what would be decided at the true speed. now() may be
// asked from any thread, the rest is for the loop's.
#pragma once

#include <memory>
#include <mutex>

#include "daemon/clock/appointments.hpp"

namespace lullwatt::daemon {

class FastTime final : public Clock, public Alarms {
  public:
    // `computer`, `alarms`: the computer's own time. REQUIRES: they outlive it; speed > 0.
    FastTime(const Clock& computer, Alarms& alarms, Instant begins, double speed);

    [[nodiscard]] Moment now() const override;
    [[nodiscard]] std::unique_ptr<Alarm> alarm(std::function<void()> ring) override {
        return appointments_.alarm(std::move(ring));
    }

    // Rings what is due next, or sees to it that the loop wakes when it is: false, nothing was done.
    // REQUIRES: nothing is ready in the loop or under way elsewhere.
    bool go_on();

  private:
    const Clock& computer_;
    const BootTime real_begin_;
    const BootTime begin_;
    const Instant wall_begin_;
    const double speed_;
    Appointments appointments_;
    std::unique_ptr<Alarm> wake_;  // rings on the computer's time; its ringing alone is what is wanted

    mutable std::mutex guards_time_;
    BootTime now_;
};

}  // namespace lullwatt::daemon
