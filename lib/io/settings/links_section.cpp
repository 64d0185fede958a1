#include "io/settings/links_section.hpp"

#include <algorithm>

#include "io/settings/site_tree.hpp"

namespace lullwatt::io {
namespace {

Link link_of(const Section& section, std::string_view key) {
    const auto* word = section.find<std::string>(key);
    return word != nullptr && *word == "simulated" ? Link::simulated : Link::none;
}

MeterLink read_meter(const Section& section, Faults& faults) {
    MeterLink meter{.link = link_of(section, "meter")};
    if (const auto* interval = section.find<Seconds>("meter_interval")) meter.interval = *interval;
    if (meter.link == Link::none && section.stated("meter_interval")) {
        faults.push_back(section.fault("meter_interval", "stands without a meter", "both or neither",
                                       "say what its meter is, or remove the interval"));
    }
    return meter;
}

SimulatedLoad read_load(const Section& section, const site::Site& site, Faults& faults) {
    SimulatedLoad load;
    std::vector<std::string> nodes;
    for (const site::Node& node : site.nodes) nodes.push_back(node.name);
    if (const auto* name = section.find<std::string>("name")) load.name = *name;
    if (section.stated("node"))
        load.node = read_reference(section, "node", nodes, "node", faults).value_or(0);
    const site::Legs legs = read_legs(section, site.nodes[load.node].legs, faults);
    if (!legs.within(site.nodes[load.node].legs)) {
        faults.push_back(section.fault("legs", "has a leg that " + site.nodes[load.node].name + " has not",
                                       "legs of its node", "correct the legs of one of them"));
    }
    if (const auto* amps = section.find<Amps>("current")) {
        for (const site::Leg leg : site::kLegs) {
            if (legs.has(leg)) load.amps[static_cast<std::size_t>(leg)] = *amps;
        }
    }
    if (const auto* from = section.find<Seconds>("from")) load.from = *from;
    if (const auto* lasts = section.find<Seconds>("lasts")) load.lasts = *lasts;
    return load;
}

}  // namespace

bool Links::none() const {
    return std::ranges::all_of(points, [](Link link) { return link == Link::none; }) &&
           std::ranges::all_of(meters, [](const MeterLink& meter) { return meter.link == Link::none; });
}

bool Links::all_simulated() const {
    return !none();  // there is no other kind yet
}

Links read_links(const Section& file, const site::Site& site, Faults& faults) {
    Links links;
    const auto& services = file.sections("service");
    links.meters.push_back(services.empty() ? MeterLink{} : read_meter(services.front(), faults));
    for (const std::string_view kind : {"feeders", "circuits"}) {
        for (const Section& node : file.sections(kind)) {
            if (node.has("name")) links.meters.push_back(read_meter(node, faults));
        }
    }
    for (const Section& point : file.sections("points")) {
        if (!point.has("name")) continue;
        const Link link = link_of(point, "link");
        const std::size_t place = links.points.size();
        links.points.push_back(link);
        if (link == Link::none || place >= site.points.size()) continue;
        if (site.points[place].control == site::Control::by_hand) {
            faults.push_back(point.fault("link", "leads to a point that is set by hand", "none",
                                         "remove it, or write 'control: driven'"));
        }
    }
    return links;
}

Simulation read_simulation(const Section& file, const site::Site& site, const Links& links, Faults& faults) {
    Simulation simulation;
    for (const Section& section : file.sections("simulation")) {
        if (links.none()) {
            faults.push_back(file.fault("simulation", "is of a house that nothing leads to",
                                        "beside 'link: simulated' or 'meter: simulated'",
                                        "remove it, or link a point or a meter to it"));
        }
        if (const auto* seed = section.find<long long>("seed"))
            simulation.seed = static_cast<std::uint64_t>(*seed);
        if (const auto* household = section.find<bool>("household")) simulation.household = *household;
        for (const Section& load : section.sections("loads"))
            simulation.loads.push_back(read_load(load, site, faults));
    }
    return simulation;
}

}  // namespace lullwatt::io
