#include "core/site/headroom.hpp"

#include <algorithm>
#include <cassert>
#include <ranges>

#include "core/site/unbalance.hpp"

namespace lullwatt::site {
namespace {

constexpr double kReceptacleShare = 0.80;  // a continuous load on a plug (design §5)

std::size_t civil_hour(const Zone& zone, Instant at) {
    const auto since_midnight = zone.civil(at) - std::chrono::floor<date::days>(zone.civil(at));
    return static_cast<std::size_t>(std::chrono::floor<std::chrono::hours>(since_midnight).count());
}

Amps others_on(const Site& site, std::size_t point, std::size_t node, Leg leg, const Unattended& unattended) {
    Amps sum{0};
    for (std::size_t other = 0; other < site.points.size(); ++other) {
        if (other == point || !site.points[other].legs.has(leg)) continue;
        const auto nodes = path(site, site.points[other]);
        if (std::ranges::find(nodes, node) != nodes.end()) sum += unattended[other];
    }
    return sum;
}

// What is left of the power a node is granted, as current on each of the point's legs.
Amps left_of_granted(const Site& site, std::size_t point, std::size_t node, const NodeLoads& loads,
                     const Unattended& unattended, Interval when) {
    const GrantedPower& granted = *site.nodes[node].granted;
    double taken = 0;  // A, all legs together
    for (const Leg leg : kLegs) {
        if (!site.nodes[node].legs.has(leg)) continue;
        taken += others_on(site, point, node, leg, unattended).count() +
                 greatest_forecast(loads, leg, when).count() / granted.power_factor;
    }
    const double all = granted.most.count() / site.leg_to_neutral.count();
    return Amps((all - taken) / site.points[point].legs.count());
}

void lower(Ceiling& ceiling, WholeAmps most, Limiter limiter, std::size_t node = 0, Leg leg = Leg::L1) {
    if (most < ceiling.most) ceiling = {most, limiter, node, leg};
}

}  // namespace

Amps greatest(const WorstByHour& worst, Leg leg) {
    Amps most{0};
    for (const LegAmps& hour : worst) most = std::max(most, on(hour, leg));
    return most;
}

Amps greatest_forecast(const NodeLoads& node, Leg leg, Interval when) {
    Amps most{0};
    auto piece =
        std::ranges::upper_bound(node.forecast, when.begin, {}, [](const auto& p) { return p.when.end; });
    assert(node.forecast.empty() || (piece != node.forecast.end() && piece->when.begin <= when.begin));
    for (; piece != node.forecast.end() && piece->when.begin < when.end; ++piece) {
        most = std::max(most, on(piece->amps, leg));
    }
    return most;
}

Amps worst_within(const WorstByHour& worst, Leg leg, Interval when, const Zone& zone) {
    if (when.length() >= std::chrono::hours{25}) return greatest(worst, leg);
    Amps most = on(worst[civil_hour(zone, when.begin)], leg);
    // Quarter-hour steps meet every hour of the day, also where a clock changes by half an hour.
    for (Instant at = when.begin; at < when.end; at += std::chrono::minutes{15}) {
        most = std::max(most, on(worst[civil_hour(zone, at)], leg));
    }
    return std::max(most, on(worst[civil_hour(zone, std::max(when.begin, when.end - Seconds{1}))], leg));
}

Ceiling ceiling(const Site& site, std::size_t point, const SiteLoads& loads, const Unattended& unattended,
                const Zone& zone, Interval when, const std::optional<Relief>& relief) {
    assert(loads.size() == site.nodes.size() && unattended.size() == site.points.size());
    const Point& at = site.points[point];
    Ceiling found{at.hard_setting, Limiter::installer_setting};
    if (at.receptacle) lower(found, floor_amps(*at.receptacle * kReceptacleShare), Limiter::receptacle);

    const Interval leased{when.begin, when.end + site.lease};
    for (const std::size_t node : path(site, at)) {
        const Amps more = relief && relief->node == node ? relief->by : Amps(0);
        if (site.nodes[node].granted) {
            const Amps left = left_of_granted(site, point, node, loads[node], unattended, when);
            lower(found, floor_amps(left + more), Limiter::granted, node);
        }
        for (const Leg leg : kLegs) {
            if (!at.legs.has(leg)) continue;
            const Amps others = others_on(site, point, node, leg, unattended) - more;
            const Amps expected = greatest_forecast(loads[node], leg, when);
            lower(found, floor_amps(continuous_limit(site.nodes[node]) - others - expected),
                  Limiter::headroom, node, leg);
            if (const auto outside = least_within(site.nodes[node].ceilings, when, zone))
                lower(found, floor_amps(*outside - others - expected), Limiter::ceiling, node, leg);
            if (const auto left = left_of_unbalance(site, point, node, leg, unattended))
                lower(found, floor_amps(*left + more), Limiter::unbalance, node, leg);
            if (at.control == Control::by_hand) continue;
            const Amps worst = worst_within(loads[node].worst, leg, leased, zone);
            const WholeAmps carried = floor_amps(site.nodes[node].rating - others - worst);
            lower(found, std::max(carried, unattended[point]), Limiter::lease, node, leg);
        }
    }
    return found;
}

}  // namespace lullwatt::site
