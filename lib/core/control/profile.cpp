#include "core/control/profile.hpp"

#include <algorithm>

namespace lullwatt::control {
namespace {

// A planned start may move so far ahead of the end of a wait before it is written anew.
constexpr Milliseconds kWaitTooLong = std::chrono::minutes{15};
constexpr Milliseconds kShortestWait = Seconds{60};

// The length of the first period; empty: it lasts.
std::optional<Milliseconds> first_length(const ProfileWanted& wanted, BootTime now,
                                         const LimiterOptions& options) {
    if (wanted.setpoint == wanted.standing) return std::nullopt;
    if (wanted.setpoint > wanted.standing) return wanted.lease;
    if (wanted.wait_until) return std::max(*wanted.wait_until - now, kShortestWait);
    return options.lease_most;
}

}  // namespace

std::vector<Period> profile(const ProfileWanted& wanted, BootTime now, const LimiterOptions& options) {
    const auto length = first_length(wanted, now, options);
    std::vector<Period> periods{{wanted.setpoint, length}};
    if (length) periods.push_back({wanted.standing, std::nullopt});
    return periods;
}

std::optional<BootTime> due(const Command& newest, WholeAmps standing, const LimiterOptions& options) {
    if (!newest.ends) return std::nullopt;
    if (newest.amps > standing)
        return newest.sent + (*newest.ends - newest.sent) * options.renew_after_thirds / 3;
    return *newest.ends - options.rewrite_before_end;
}

bool needs_write(const Command& newest, const ProfileWanted& wanted, BootTime now,
                 const LimiterOptions& options) {
    if (newest.at(now) != wanted.setpoint) return true;
    const auto length = first_length(wanted, now, options);
    if (!length) return newest.ends && now < *newest.ends && newest.then != wanted.setpoint;
    // A setpoint that is not standing must end by itself.
    if (!newest.ends || newest.then != wanted.standing) return true;
    if (wanted.setpoint > wanted.standing)
        return now >= *due(newest, wanted.standing, options) || *newest.ends > now + *length;
    const BootTime end = now + *length;
    return (now >= *due(newest, wanted.standing, options) &&
            end > *newest.ends + options.rewrite_before_end) ||
           end + kWaitTooLong < *newest.ends;
}

}  // namespace lullwatt::control
