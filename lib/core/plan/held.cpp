#include "core/plan/held.hpp"

#include <algorithm>

#include "core/site/unbalance.hpp"

namespace lullwatt::plan {
namespace {

bool draws_from(const site::Site& site, const site::Point& point, const Bound& bound) {
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

}  // namespace

std::vector<Held> held_by(const site::Site& site, const Slot& slot, const std::vector<Taken>& others) {
    std::vector<Held> found;
    for (const Taken& other : others) {
        if (!draws_from(site, site.points[other.point], slot.bound)) continue;
        Held held{.car = other.car, .amps = {}};
        for (const Taken::Draw& draw : other.draws) {
            if (draw.when.begin < slot.when.end && slot.when.begin < draw.when.end)
                held.amps = std::max(held.amps, draw.amps);
        }
        if (held.amps > WholeAmps(0)) found.push_back(held);
    }
    return found;
}

}  // namespace lullwatt::plan
