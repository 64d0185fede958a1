#include "core/site/unbalance.hpp"

#include <algorithm>

namespace lullwatt::site {

Legs fewest_legs(const Site& site, const Point& point) {
    return used_legs(site.supply, site.leg_to_neutral, point.legs, point.fewest_car_legs);
}

bool uneven_on(const Site& site, const Point& point, std::size_t node, Leg leg) {
    const auto nodes = path(site, point);
    return std::ranges::find(nodes, node) != nodes.end() &&
           uneven_on(fewest_legs(site, point), site.nodes[node].legs, leg);
}

std::optional<Amps> left_of_unbalance(const Site& site, std::size_t point, std::size_t node, Leg leg,
                                      const Unattended& unattended) {
    const auto limit = site.nodes[node].unbalance;
    if (!limit || !uneven_on(site, site.points[point], node, leg)) return std::nullopt;
    Amps others{0};
    for (std::size_t other = 0; other < site.points.size(); ++other) {
        if (other != point && uneven_on(site, site.points[other], node, leg)) others += unattended[other];
    }
    return *limit - others;
}

}  // namespace lullwatt::site
