#include "core/site/setting_cap.hpp"

#include <algorithm>

namespace lullwatt::site {
namespace {

Amps others_on(const Site& site, std::size_t point, std::size_t node, Leg leg) {
    Amps sum;
    for (std::size_t other = 0; other < site.points.size(); ++other) {
        if (other == point || !site.points[other].legs.has(leg)) continue;
        const auto way = path(site, site.points[other]);
        if (std::ranges::find(way, node) != way.end()) sum += site.points[other].hard_setting;
    }
    return sum;
}

}  // namespace

std::vector<SettingCap> setting_caps(const Site& site, std::size_t point, const SiteLoads& loads) {
    std::vector<SettingCap> caps;
    for (const std::size_t node : path(site, site.points[point])) {
        if (site.nodes[node].kind == NodeKind::service) continue;
        const Amps limit = continuous_limit(site.nodes[node]);
        std::optional<SettingCap> tightest;
        for (const Leg leg : kLegs) {
            if (!site.points[point].legs.has(leg)) continue;
            SettingCap cap{
                node, leg, limit, greatest(loads[node].worst, leg), others_on(site, point, node, leg), {}};
            cap.most = floor_amps(limit - cap.house - cap.other_points);
            if (cap.most == kNotOnThePilot) cap.most = WholeAmps(51);
            if (!tightest || cap.most < tightest->most) tightest = cap;
        }
        if (tightest) caps.push_back(*tightest);
    }
    return caps;
}

}  // namespace lullwatt::site
