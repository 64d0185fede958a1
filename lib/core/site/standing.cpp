#include "core/site/standing.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <functional>
#include <ranges>

#include "core/site/unbalance.hpp"

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

// The same of the limits on how far cars may load one leg above another.
std::optional<Excess> unbalance_excess(const Site& site, std::size_t point, WholeAmps current,
                                       const Unattended& others) {
    std::optional<Excess> found;
    for (const std::size_t node : path(site, site.points[point])) {
        for (const Leg leg : kLegs) {
            const auto left = left_of_unbalance(site, point, node, leg, others);
            if (!left || current <= floor_amps(*left)) continue;
            const Amps limit = *site.nodes[node].unbalance;
            const Excess excess{node, leg, limit - *left + current, limit, floor_amps(*left), true};
            if (!found || excess.fits < found->fits) found = excess;
        }
    }
    return found;
}

std::vector<Amps> as_amps(const Unattended& unattended) { return {unattended.begin(), unattended.end()}; }

// The most the cars on one leg may hold, per hour of the day and node.
using Leased = std::array<std::vector<Amps>, 24>;

// A lease is lowered until it fits the rating of every node on its way, down to the standing currents (design
// §7); so a node carries no more than what is right below it and what is above it let through.
Leased leased_by_hour(const Site& site, const SiteLoads& loads, const Unattended& unattended, Leg leg) {
    const std::vector<Amps> left_alone = as_amps(unattended);
    Leased leased;
    for (std::size_t hour = 0; hour < leased.size(); ++hour) {
        std::vector<Amps>& through = leased[hour];
        through.assign(site.nodes.size(), Amps{0});
        for (std::size_t point = 0; point < site.points.size(); ++point) {
            const Point& at = site.points[point];
            if (at.legs.has(leg)) through[at.circuit] += std::max(unattended[point], at.hard_setting);
        }
        const auto lower = [&](std::size_t node, Amps most) {
            through[node] = std::max(sum_on(site, node, leg, left_alone), std::min(through[node], most));
        };
        for (std::size_t node = site.nodes.size(); node-- > 0;) {  // children before parents
            lower(node, site.nodes[node].rating - on(loads[node].worst[hour], leg));
            if (site.nodes[node].parent) through[*site.nodes[node].parent] += through[node];
        }
        for (std::size_t node = 1; node < site.nodes.size(); ++node)
            lower(node, through[*site.nodes[node].parent]);
    }
    return leased;
}

}  // namespace

std::vector<Standing> standing_currents(const Site& site, const SiteLoads& loads) {
    assert(loads.size() == site.nodes.size());
    Unattended so_far(site.points.size());
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
        if (wanted > WholeAmps(0)) {
            result[point].excess = tightest_excess(site, point, loads, wanted, as_amps(so_far), may_carry);
            if (!result[point].excess) result[point].excess = unbalance_excess(site, point, wanted, so_far);
        }
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
    std::vector<WorstMoment> moments;
    for (const Leg leg : kLegs) {
        const Leased by_hour = leased_by_hour(site, loads, unattended, leg);
        for (std::size_t node = 0; node < site.nodes.size(); ++node) {
            if (!site.nodes[node].legs.has(leg)) continue;
            const Amps afterwards = sum_on(site, node, leg, as_amps(unattended));
            WorstMoment moment{node, leg, Amps{0}, Amps{0}};
            for (std::size_t hour = 0; hour < by_hour.size(); ++hour) {
                const Amps house = on(loads[node].worst[hour], leg);
                moment.during_lease = std::max(moment.during_lease, house + by_hour[hour][node]);
                moment.afterwards = std::max(moment.afterwards, house + afterwards);
            }
            moments.push_back(moment);
        }
    }
    std::ranges::stable_sort(moments, {}, &WorstMoment::node);
    return moments;
}

std::optional<WorstMoment> tightest(const Site& site, const std::vector<WorstMoment>& moments) {
    const auto share = [&site](const WorstMoment& moment) {
        return moment.during_lease.count() / site.nodes[moment.node].rating.count();
    };
    const auto found = std::ranges::max_element(moments, {}, share);
    return found == moments.end() ? std::nullopt : std::optional(*found);
}

}  // namespace lullwatt::site
