#include "core/rehearse/car.hpp"

#include <algorithm>

namespace lullwatt::rehearse {

bool Car::sleeps(Seconds at) const {
    return traits_.sleeps && at >= *traits_.sleeps && !(traits_.wakes && at >= *traits_.wakes);
}

Amps Car::accepts(Seconds at) const {
    if (full() || sleeps(at)) return Amps(0);
    const std::int64_t room = MilliwattHours(traits_.room).count();
    const std::int64_t taper = room / 100 * traits_.tapers_at_percent;
    if (taken_.count() <= taper || taper >= room) return traits_.most;
    // In a straight line down to 1 A.
    const double left = static_cast<double>(room - taken_.count()) / static_cast<double>(room - taper);
    return std::max(Amps(1), Amps(traits_.most) * left);
}

Amps Car::step(Seconds at, WholeAmps offer) {
    offers_.push_back(offer);
    const auto kept = static_cast<std::size_t>(traits_.response.count()) + 1;
    while (offers_.size() > kept) offers_.pop_front();
    return std::min(Amps(offers_.front()), accepts(at));
}

}  // namespace lullwatt::rehearse
