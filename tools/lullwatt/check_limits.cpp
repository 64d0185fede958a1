#include "tools/lullwatt/check_limits.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "core/site/unbalance.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

// What the cars of points set by hand add to one leg, which nothing lowers.
WholeAmps by_hand_on(const site::Site& site, std::size_t node, site::Leg leg) {
    WholeAmps sum;
    for (const site::Point& point : site.points) {
        const bool counts =
            point.control == site::Control::by_hand && site::uneven_on(site, point, node, leg);
        if (counts) sum = sum + point.hard_setting;
    }
    return sum;
}

std::string unbalance_text(const site::Site& site, std::size_t node) {
    const auto limit = site.nodes[node].unbalance;
    if (!limit) return {};
    std::string text =
        fmt::format("    cars may load one leg at most {:g} A above another\n", limit->count());
    for (const site::Leg leg : site::kLegs) {
        const WholeAmps set = by_hand_on(site, node, leg);
        if (set <= *limit) continue;
        text += fmt::format(
            "    ABOVE THAT BY HAND: cars set by hand may load L{} with {}; set the car, or have the "
            "installer set the point, lower\n",
            static_cast<int>(leg) + 1, amps_text(set));
    }
    return text;
}

// What nobody lowers should this computer die: the ceiling is kept by it alone.
std::string kept_by_us_text(const site::Site& site, const site::Unattended& unattended, std::size_t node) {
    WholeAmps most;
    for (const site::Leg leg : site::kLegs) {
        WholeAmps sum;
        for (std::size_t p = 0; p < site.points.size(); ++p) {
            const auto nodes = site::path(site, site.points[p]);
            if (site.points[p].legs.has(leg) && std::ranges::find(nodes, node) != nodes.end())
                sum = sum + unattended[p];
        }
        most = std::max(most, sum);
    }
    return fmt::format(
        "    this program keeps a ceiling, the wiring does not: without it cars may draw {} on a leg, when a "
        "lease of up to {} min has ended\n",
        amps_text(most), site.lease.count() / 60);
}

}  // namespace

std::string basis_text(const site::ContinuousShare& share) {
    switch (share.basis) {
        case site::ShareBasis::nec:
            return "nec, continuous load at most 80 % of the rating";
        case site::ShareBasis::cec:
            return "cec, continuous load at most 80 % of the rating";
        case site::ShareBasis::iec:
            return share.share < 1 ? "iec, 80 % as our caution"
                                   : "iec, dedicated circuit sized by its installer";
        case site::ShareBasis::declared:
            break;
    }
    return "declared: " + share.text;
}

std::string days_text(const std::array<bool, 7>& days) {
    constexpr std::array kNames = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    if (days == std::array{true, true, true, true, true, true, true}) return "every day";
    if (days == std::array{false, true, true, true, true, true, false}) return "weekdays";
    if (days == std::array{true, false, false, false, false, false, true}) return "weekends";
    std::string text;
    for (std::size_t day = 0; day < days.size(); ++day) {
        if (days[day]) text += fmt::format("{}{}", text.empty() ? "" : ", ", kNames[day]);
    }
    return text;
}

std::string time_of_day_text(Seconds time_of_day) {
    return fmt::format("{:02}:{:02}", time_of_day.count() / 3600, time_of_day.count() / 60 % 60);
}

std::string other_limits_text(const site::Site& site, const site::Unattended& unattended, std::size_t node) {
    const site::Node& at = site.nodes[node];
    std::string text = unbalance_text(site, node);
    for (const site::TimedCeiling& ceiling : at.ceilings) {
        text += fmt::format("    outside ceiling {:g} A from {} to {}{}, {}: {}\n", ceiling.most.count(),
                            time_of_day_text(ceiling.from), time_of_day_text(ceiling.to),
                            ceiling.to < ceiling.from ? " of the next day" : "", days_text(ceiling.days),
                            ceiling.basis);
    }
    if (!at.ceilings.empty()) text += kept_by_us_text(site, unattended, node);
    return text;
}

}  // namespace lullwatt::tools
