#include "io/settings/limits_section.hpp"

#include <fmt/format.h>

#include "io/settings/days.hpp"
#include "io/settings/site_tree.hpp"

namespace lullwatt::io {
namespace {

void check_acts(const Section& section, const site::Node& node, Amps most, Faults& faults) {
    const Amps limit = site::continuous_limit(node);
    if (node.rating <= Amps(0) || most < limit) return;
    faults.push_back(section.fault(
        "most", fmt::format("is not below what {} may carry for hours anyway, so it never acts", node.name),
        fmt::format("below {:g} A", limit.count()), "correct it, or remove the ceiling"));
}

site::TimedCeilings read_ceilings(const Section& section, const site::Node& node, Faults& faults) {
    site::TimedCeilings ceilings;
    for (const Section& one : section.sections("ceilings")) {
        check_before_midnight(one, "from", faults);
        check_not_empty(one, "days", "at least one day", "name the days, or leave it out for every day",
                        faults);
        if (!one.has("from") || !one.has("to") || !one.has("most") || !one.has("basis")) continue;
        site::TimedCeiling ceiling{.days = read_days(one),
                                   .from = one.get<Seconds>("from"),
                                   .to = one.get<Seconds>("to"),
                                   .most = one.get<Amps>("most"),
                                   .basis = one.get<std::string>("basis")};
        if (!one.stated("days")) ceiling.days.fill(true);
        check_acts(one, node, ceiling.most, faults);
        if (ceiling.from == ceiling.to) {
            faults.push_back(one.fault("to", "is the time it begins", "another time than 'from'",
                                       "write from 00:00 to 24:00 for a whole day"));
            continue;
        }
        for (const site::TimedCeiling& above : ceilings) {
            if (above.most == ceiling.most || !overlap(above, ceiling)) continue;
            faults.push_back(
                one.fault("most",
                          fmt::format("is another than the {:g} A of a ceiling above it, at the same time",
                                      above.most.count()),
                          "one current at any time", "part their hours or days"));
            break;
        }
        ceilings.push_back(std::move(ceiling));
    }
    return ceilings;
}

}  // namespace

void read_limits(const Section& section, site::Node& node, Faults& faults) {
    const auto* granted = section.find<VoltAmperes>("granted_power");
    if (granted != nullptr && section.has("power_factor"))
        node.granted = site::GrantedPower{*granted, section.get<double>("power_factor")};
    if (!section.has("granted_power") && section.stated("power_factor"))
        faults.push_back(section.fault("power_factor", "is of no power", "", "add granted_power to it"));
    if (const auto* unbalance = section.find<Amps>("unbalance")) {
        node.unbalance = *unbalance;
        if (node.legs.count() == 1) {
            faults.push_back(section.fault("unbalance", "has nothing to balance: there is one leg",
                                           "a node of several legs", "remove it"));
        }
    }
    node.ceilings = read_ceilings(section, node, faults);
}

}  // namespace lullwatt::io
