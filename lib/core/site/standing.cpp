#include "core/site/standing.hpp"

#include <algorithm>
#include <cassert>
#include <functional>
#include <ranges>

namespace lullwatt::site {
namespace {

bool hangs_on(const Site& site, const Point& point, std::size_t node, Leg leg) {
    const auto nodes = path(site, point);
    return point.legs.has(leg) && std::ranges::find(nodes, node) != nodes.end();
}

Amps sum_on(const Site& site, std::size_t node, Leg leg, const std::vector<Amps>& currents) {
    Amps sum{0};
    for (std::size_t point = 0; point < currents.size(); ++point) {
        if (hangs_on(site, site.points[point], node, leg)) sum += currents[point];
    }
    return sum;
}

// The tightest place of the point's path when it draws `current` on top of `others` and the greatest worst
// load.
std::optional<Excess> tightest_excess(const Site& site, std::size_t point, const SiteLoads& loads,
                                      Amps current, std::vector<Amps> others,
                                      const std::function<Amps(const Node&)>& may_carry) {
    others[point] = Amps{0};
    std::optional<Excess> found;
    for (const std::size_t node : path(site, site.points[point])) {
        for (const Leg leg : kLegs) {
            if (!site.points[point].legs.has(leg)) continue;
            const Amps before = sum_on(site, node, leg, others) + greatest(loads[node].worst, leg);
            const Amps allowed = may_carry(site.nodes[node]);
            if (before + current <= allowed + Amps(1e-9)) continue;
            const Excess excess{node, leg, before + current, allowed, floor_amps(allowed - before)};
            if (!found || excess.fits < found->fits) found = excess;
        }
    }
    return found;
}

std::vector<Amps> as_amps(const Unattended& unattended) { return {unattended.begin(), unattended.end()}; }

}  // namespace

std::vector<Standing> standing_currents(const Site& site, const SiteLoads& loads) {
    assert(loads.size() == site.nodes.size());
    std::vector<Amps> so_far(site.points.size(), Amps{0});
    for (std::size_t point = 0; point < site.points.size(); ++point) {
        if (site.points[point].control == Control::by_hand) so_far[point] = site.points[point].hard_setting;
    }
    std::vector<Standing> result(site.points.size());
    for (std::size_t point = 0; point < site.points.size(); ++point) {
        const Point& at = site.points[point];
        if (at.control == Control::by_hand) continue;
        const WholeAmps wanted = at.standing.value_or(at.minimum);
        const bool to_the_rating = at.standing && at.standing_beyond_limit;
        const auto may_carry = [to_the_rating](const Node& node) {
            return to_the_rating ? node.rating : continuous_limit(node);
        };
        result[point].excess = wanted == WholeAmps(0)
                                   ? std::nullopt
                                   : tightest_excess(site, point, loads, wanted, so_far, may_carry);
        const bool granted = at.standing || !result[point].excess;
        result[point].current = granted ? wanted : WholeAmps(0);
        so_far[point] = result[point].current;
    }
    return result;
}

Unattended unattended(const Site& site, const std::vector<Standing>& standing) {
    Unattended currents(site.points.size());
    for (std::size_t point = 0; point < site.points.size(); ++point) {
        const Point& at = site.points[point];
        currents[point] = at.control == Control::by_hand ? at.hard_setting : standing[point].current;
    }
    return currents;
}

std::optional<Excess> unsafe_by_hand(const Site& site, std::size_t point, const SiteLoads& loads,
                                     const Unattended& unattended) {
    assert(site.points[point].control == Control::by_hand);
    return tightest_excess(site, point, loads, site.points[point].hard_setting, as_amps(unattended),
                           [](const Node& node) { return continuous_limit(node); });
}

std::vector<WorstMoment> worst_moments(const Site& site, const SiteLoads& loads,
                                       const Unattended& unattended) {
    const std::vector<Amps> left_alone = as_amps(unattended);
    std::vector<Amps> at_most = left_alone;  // what a lease may hold before any node lowers it
    for (std::size_t point = 0; point < site.points.size(); ++point) {
        at_most[point] = std::max(at_most[point], Amps(site.points[point].hard_setting));
    }
    std::vector<WorstMoment> moments;
    for (std::size_t node = 0; node < site.nodes.size(); ++node) {
        for (const Leg leg : kLegs) {
            if (!site.nodes[node].legs.has(leg)) continue;
            const Amps afterwards = sum_on(site, node, leg, left_alone);
            const Amps leased = sum_on(site, node, leg, at_most);
            WorstMoment moment{node, leg, Amps{0}, Amps{0}};
            for (const LegAmps& hour : loads[node].worst) {
                const Amps house = on(hour, leg);
                // A lease is lowered until it fits the rating, down to the standing currents (design §7).
                const Amps cars = std::max(afterwards, std::min(leased, site.nodes[node].rating - house));
                moment.during_lease = std::max(moment.during_lease, house + cars);
                moment.afterwards = std::max(moment.afterwards, house + afterwards);
            }
            moments.push_back(moment);
        }
    }
    return moments;
}

}  // namespace lullwatt::site
