#include "core/site/site.hpp"

#include <cmath>

namespace lullwatt::site {

Amps continuous_limit(const Node& node) {
    return node.rating * node.continuous.share - node.meter_resolution;
}

bool is_pair(Supply supply, Volts leg_to_neutral, Legs legs) {
    constexpr Volts kGreatestOf120{140};
    return legs.count() == 2 && (supply != Supply::three_phase || leg_to_neutral <= kGreatestOf120);
}

Watts watts_per_ampere(Supply supply, Volts leg_to_neutral, Legs legs) {
    const double volts = leg_to_neutral.count();
    // Where 120° stand between two legs their voltage is √3 times a leg's: 208 V nominal from 120 V.
    if (supply != Supply::split_phase && is_pair(supply, leg_to_neutral, legs))
        return Watts(std::round(std::sqrt(3.0) * volts));
    return Watts(volts * legs.count());
}

Legs used_legs(Supply supply, Volts leg_to_neutral, Legs point, int car_legs) {
    if (is_pair(supply, leg_to_neutral, point)) return point;
    Legs used;
    for (const Leg leg : kLegs) {
        if (point.has(leg) && used.count() < car_legs) used.add(leg);
    }
    return used;
}

std::vector<std::size_t> path(const Site& site, const Point& point) {
    std::vector<std::size_t> nodes;
    for (std::optional<std::size_t> at = point.circuit; at; at = site.nodes[*at].parent) nodes.push_back(*at);
    return nodes;
}

}  // namespace lullwatt::site
