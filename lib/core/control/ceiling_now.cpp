#include "core/control/ceiling_now.hpp"

namespace lullwatt::control {

std::optional<Ceiling> ceiling_now(const site::Node& node, const Zone& zone, const Now& now) {
    const auto least = site::least_ever(node.ceilings);
    if (!least) return std::nullopt;
    if (!now.wall) return Ceiling{*least, now.boot, *least};
    const Interval second{*now.wall, *now.wall + Seconds{1}};
    const Interval day{*now.wall, *now.wall + date::days{1}};
    const auto changes = site::may_change(node.ceilings, day, zone);
    const Instant next = changes.empty() ? day.end : changes.front();
    const Amps most = site::least_within(node.ceilings, second, zone).value_or(site::continuous_limit(node));
    return Ceiling{most, now.boot + (next - *now.wall), *least};
}

}  // namespace lullwatt::control
