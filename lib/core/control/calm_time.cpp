#include "core/control/calm_time.hpp"

#include <algorithm>

namespace lullwatt::control {

void CalmTime::retreated(BootTime now) {
    const Milliseconds before = length(now);
    const bool soon = raised_ && now - *raised_ <= options_.retreat_within;
    length_ = soon ? std::min(before * 2, options_.calm_most) : before;
    retreated_ = now;
    raised_.reset();  // one raise, one doubling
}

Milliseconds CalmTime::length(BootTime now) const {
    return retreated_ && now - *retreated_ >= options_.calm_again_after ? options_.calm : length_;
}

}  // namespace lullwatt::control
