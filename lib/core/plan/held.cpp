#include "core/plan/held.hpp"

#include <algorithm>
#include <utility>

#include "core/site/unbalance.hpp"

namespace lullwatt::plan {
namespace {

bool draws_from(const site::Site& site, const site::Point& point, const Bound& bound) {
    if (bound.node < 0) return false;
    const auto node = static_cast<std::size_t>(bound.node);
    const auto nodes = site::path(site, point);
    const bool below = std::ranges::find(nodes, node) != nodes.end();
    switch (bound.kind) {
        case BoundKind::granted:
            return below;
        case BoundKind::headroom:
        case BoundKind::ceiling:
            return below && point.legs.has(static_cast<site::Leg>(bound.leg));
        case BoundKind::lease:
            return below && point.legs.has(static_cast<site::Leg>(bound.leg)) &&
                   point.control == site::Control::driven;
        case BoundKind::unbalance:
            return site::uneven_on(site, point, node, static_cast<site::Leg>(bound.leg));
        case BoundKind::installer_setting:
        case BoundKind::receptacle:
        case BoundKind::car:
        case BoundKind::hold:
        case BoundKind::away:
        case BoundKind::peak:
            break;
    }
    return false;
}

// The most it draws while `when` lasts. Draws ascend and do not overlap.
WholeAmps drawn_during(const Taken& taken, Interval when) {
    WholeAmps most;
    const auto first = std::ranges::partition_point(
        taken.draws, [&](const auto& draw) { return draw.when.end <= when.begin; });
    for (auto draw = first; draw != taken.draws.end() && draw->when.begin < when.end; ++draw)
        most = std::max(most, draw->amps);
    return most;
}

}  // namespace

const std::vector<std::size_t>& Holders::drawers(const Bound& bound) {
    const auto known = std::ranges::find(found_, bound, &Drawers::bound);
    if (known != found_.end()) return known->of_it;
    Drawers drawers{.bound = bound, .of_it = {}};
    for (std::size_t i = 0; i < others_.size(); ++i) {
        if (draws_from(site_, site_.points[others_[i].point], bound)) drawers.of_it.push_back(i);
    }
    found_.push_back(std::move(drawers));
    return found_.back().of_it;
}

Holding Holders::of(const Slot& slot, std::size_t most_named) {
    Holding holding;
    for (const std::size_t i : drawers(slot.bound)) {
        const WholeAmps amps = drawn_during(others_[i], slot.when);
        if (amps <= WholeAmps(0)) continue;
        if (holding.named.size() < most_named) {
            holding.named.push_back({others_[i].car, amps});
        } else {
            ++holding.others;
        }
    }
    return holding;
}

}  // namespace lullwatt::plan
