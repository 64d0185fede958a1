#include "daemon/clock/fast_time.hpp"

#include <algorithm>
#include <utility>

namespace lullwatt::daemon {

FastTime::FastTime(const Clock& computer, Alarms& alarms, Instant begins, double speed)
    : computer_(computer),
      real_begin_(computer.now().boot),
      begin_(real_begin_),
      wall_begin_(begins),
      speed_(speed),
      wake_(alarms.alarm([] {})),
      now_(begin_) {}

Moment FastTime::now() const {
    const std::lock_guard lock(guards_time_);
    return {wall_begin_ + std::chrono::floor<Seconds>(now_ - begin_), now_};
}

bool FastTime::go_on() {
    const auto due = appointments_.next();
    if (!due) return false;
    const auto after =
        std::chrono::duration<double, std::milli>(static_cast<double>((*due - begin_).count()) / speed_);
    const BootTime real_due = real_begin_ + std::chrono::ceil<Milliseconds>(after);
    if (computer_.now().boot < real_due) {
        wake_->set(real_due);
        return false;
    }
    {
        const std::lock_guard lock(guards_time_);
        now_ = std::max(now_, *due);
    }
    appointments_.ring_one(*due);
    return true;
}

}  // namespace lullwatt::daemon
