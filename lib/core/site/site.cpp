#include "core/site/site.hpp"

#include <cmath>

namespace lullwatt::site {

Amps continuous_limit(const Node& node) {
    return node.rating * node.continuous.share - node.meter_resolution;
}

Watts watts_per_ampere(Supply supply, Volts leg_to_neutral, Legs legs) {
    const double volts = leg_to_neutral.count();
    if (legs.count() != 2) return Watts(volts * legs.count());
    // Between two legs: 2 × 120 on split phase, √3 × 120 where the legs stand 120° apart (208 V nominal).
    return Watts(supply == Supply::split_phase ? 2 * volts : std::round(std::sqrt(3.0) * volts));
}

std::vector<std::size_t> path(const Site& site, const Point& point) {
    std::vector<std::size_t> nodes;
    for (std::optional<std::size_t> at = point.circuit; at; at = site.nodes[*at].parent) nodes.push_back(*at);
    return nodes;
}

}  // namespace lullwatt::site
