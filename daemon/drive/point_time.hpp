// The times of what a point tells, in the order in which it happened.
//
// A value; one thread. A wall clock that is set back would put a register's readings in another order than
// they were counted in, and what flowed between them could not be told any more.
#pragma once

#include <algorithm>
#include <optional>

#include "daemon/ports/clock.hpp"
#include "io/ledger/rows.hpp"

namespace lullwatt::daemon {

class PointTime {
  public:
    // As `at` stands, told now; where the clock was set back since something was told, so much later, and not
    // proven.
    [[nodiscard]] io::ledger::Stamp stamp(Instant at, const Moment& now, bool proven) {
        // Seconds of either clock are rounded down: they come and go.
        constexpr Seconds kRounded{2};
        const Seconds apart = between(now.wall, now.boot);
        if (!ahead_ && latest_) ahead_ = between(*latest_, now.boot);
        ahead_ = std::max(ahead_.value_or(apart), apart);
        const Seconds back = *ahead_ - apart > kRounded ? *ahead_ - apart : Seconds{0};
        latest_ = now.wall + back;
        return {at + back, proven && back == Seconds{0}};
    }

    // What comes belongs to nothing that went before: it follows the latest of that, or the clock. Ours: no
    // longer than a day behind it, for so far off the clock before was wrong altogether.
    void begin(const Moment& now) {
        constexpr Seconds kAltogether = std::chrono::hours{24};
        ahead_.reset();
        if (latest_ && *latest_ - now.wall > kAltogether) latest_.reset();
    }

    // Of what is told while nothing is under way: never before the last of what was.
    [[nodiscard]] Instant idle(const Moment& now) const {
        return std::max(now.wall, latest_.value_or(now.wall));
    }

    // The time of what was told last; none: nothing was.
    [[nodiscard]] std::optional<Instant> latest() const { return latest_; }

    // Of what was told before a restart.
    void told_before(Instant latest) { latest_ = latest; }

  private:
    static Seconds between(Instant wall, BootTime boot) {
        return wall.time_since_epoch() - std::chrono::floor<Seconds>(boot.time_since_epoch());
    }
    std::optional<Instant> latest_;
    std::optional<Seconds> ahead_;  // the most that the wall clock was, of the time since boot
};

}  // namespace lullwatt::daemon
