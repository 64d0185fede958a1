#include "core/rehearse/excess.hpp"

#include <algorithm>

namespace lullwatt::rehearse {
namespace {

constexpr Amps kCounts{0.5};
constexpr Seconds kJoined{10};

}  // namespace

Amps excess(Amps cars, Amps total, Amps bound) { return std::min(cars, std::max(Amps(0), total - bound)); }

void Excess::second(Seconds at, Amps cars, Amps total, bool house_rose) {
    if (house_rose) last_rise_ = at;
    const Amps over = excess(cars, total, bound_);
    if (over <= kCounts) return;
    // A gap of 9 s without excess joins, one of 10 s does not.
    const bool joins = !episodes_.empty() && at - episodes_.back().end < kJoined;
    if (!joins) episodes_.push_back({.begin = at});
    Episode& episode = episodes_.back();
    episode.end = at + Seconds{1};
    episode.last_rise = std::max(last_rise_, episode.begin);
    episode.greatest = std::max(episode.greatest, over);
}

Seconds Excess::longest() const {
    Seconds most{0};
    for (const Episode& episode : episodes_) most = std::max(most, episode.length());
    return most;
}

Seconds time_bound(BoundCase which, const BoundInput& input) {
    constexpr Seconds kJudged{3};  // two samples or three seconds
    constexpr Seconds kSent{1};    // a call in flight is waited for
    switch (which) {
        case BoundCase::all_alive:
            return input.meter_interval + kJudged + kSent + input.response;
        case BoundCase::meter_silent:
            return input.staleness + kSent + input.response;
        case BoundCase::on_its_lease:
            return input.lease_left + input.response;
    }
    return {};
}

}  // namespace lullwatt::rehearse
