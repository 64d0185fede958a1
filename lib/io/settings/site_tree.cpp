#include "io/settings/site_tree.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

#include <fmt/format.h>

#include "io/settings/limits_section.hpp"

namespace lullwatt::io {
namespace {

using site::Legs;
using site::Node;
using site::NodeKind;
using site::Point;
using site::ShareBasis;
using site::Site;
using site::Supply;

constexpr std::array<std::string_view, 4> kSupplies = {"single-phase", "split-phase", "two-legs-of-208",
                                                       "three-phase"};
constexpr std::array<std::string_view, 4> kBases = {"nec", "cec", "iec", "declared"};
constexpr double kReceptacleShare = 0.80;

template <class Enum, std::size_t N>
Enum chosen(const std::array<std::string_view, N>& words, const std::string& word) {
    return static_cast<Enum>(std::ranges::find(words, word) - words.begin());
}

Legs legs_of(Supply supply) {
    switch (supply) {
        case Supply::single_phase:
            return {site::Leg::L1};
        case Supply::split_phase:
        case Supply::two_legs_of_208:
            return {site::Leg::L1, site::Leg::L2};
        case Supply::three_phase:
            break;
    }
    return {site::Leg::L1, site::Leg::L2, site::Leg::L3};
}

std::string legs_text(Legs legs) {
    std::string text;
    for (const site::Leg leg : site::kLegs) {
        if (legs.has(leg)) text += fmt::format("{}L{}", text.empty() ? "" : ", ", static_cast<int>(leg) + 1);
    }
    return text;
}

std::vector<std::string> names_of(const Site& site) {
    std::vector<std::string> names;
    for (const Node& node : site.nodes) names.push_back(node.name);
    return names;
}

bool stated_full(const Section& section) {
    const auto* full = section.find<bool>("sized_for_full_current");
    return full != nullptr && *full;
}

site::ContinuousShare read_share(const Section& section, const site::ContinuousShare& above, Faults& faults) {
    site::ContinuousShare share = above;
    if (const auto* word = section.find<std::string>("continuous")) {
        share = {.share = 0.80, .basis = chosen<ShareBasis>(kBases, *word), .text = {}};
        if (share.basis == ShareBasis::declared) {
            if (!section.stated("share") || !section.stated("declared_by")) {
                faults.push_back(section.fault("continuous", "needs the share and who declared it",
                                               "share and declared_by beside it",
                                               "add them, or use nec, cec or iec"));
            } else if (section.has("share") && section.has("declared_by")) {
                share.share = section.get<Percent>("share").percent / 100;
                share.text = section.get<std::string>("declared_by");
            }
        }
    }
    const bool own =
        section.has("share") && share.basis == ShareBasis::declared && section.stated("continuous");
    if (section.has("share") && !own) {
        faults.push_back(section.fault("share", "stands without 'continuous: declared'",
                                       "nec, cec and iec have their own share, 80 %",
                                       "remove it, or declare it with declared_by"));
    }
    const bool full = stated_full(section);
    if (full && share.basis != ShareBasis::iec) {
        faults.push_back(section.fault("sized_for_full_current", "is a matter of the iec basis only", "no",
                                       "remove it: under nec and cec a circuit carries 80 % for hours"));
    } else if (full) {
        share.share = 1.0;
    }
    return share;
}

void check_name(const Section& section, const std::vector<std::string>& names, Faults& faults) {
    const auto* name = section.find<std::string>("name");
    if (name != nullptr && std::ranges::find(names, *name) != names.end()) {
        faults.push_back(
            section.fault("name", "is used twice", "a name of its own", "rename one of the two"));
    }
}

// A supply that is not known has every leg, and a service every file has: what hangs on them is not blamed.
Node read_service(const Section& section, Faults& faults) {
    const auto* supply = section.find<std::string>("supply");
    Node node{.name = "service",
              .kind = NodeKind::service,
              .legs = legs_of(supply != nullptr ? chosen<Supply>(kSupplies, *supply) : Supply::three_phase)};
    if (const auto* name = section.find<std::string>("name")) node.name = *name;
    if (const auto* rating = section.find<Amps>("rating")) node.rating = *rating;
    if (const auto* step = section.find<Amps>("meter_resolution")) node.meter_resolution = *step;
    node.continuous = read_share(section, {}, faults);
    read_limits(section, node, faults);
    return node;
}

// What each feeder and circuit of the file says it is fed from.
std::map<std::string, std::string> feeds_of(const Section& file) {
    std::map<std::string, std::string> feeds;
    for (const std::string_view kind : {"feeders", "circuits"}) {
        for (const Section& node : file.sections(kind)) {
            if (node.has("name") && node.has("fed_from"))
                feeds.emplace(node.get<std::string>("name"), node.get<std::string>("fed_from"));
        }
    }
    return feeds;
}

Fault fed_from_circuit(const Section& section) {
    return section.fault("fed_from", "is a circuit, which ends in points", "the service or a feeder",
                         "name the panel the breaker sits in");
}

// A node is fed from one that stands above it in the file; true where a fault says that this one is not.
bool check_order(const Section& section, const std::vector<std::string>& above, const Section& file,
                 Faults& faults) {
    if (!section.has("name") || !section.has("fed_from")) return false;
    const auto& name = section.get<std::string>("name");
    const auto& from = section.get<std::string>("fed_from");
    const auto feeds = feeds_of(file);
    if (std::ranges::find(above, from) != above.end() || !feeds.contains(from)) return false;
    std::string circle = fmt::format("{} is fed from {}", name, from);
    std::string at = from;
    for (std::size_t step = 0; step < feeds.size() && at != name; ++step) {
        const auto next = feeds.find(at);
        if (next == feeds.end()) break;
        at = next->second;
        circle += fmt::format(", that from {}", at);
    }
    const auto is_from = [&](const Section& node) {
        return node.has("name") && node.get<std::string>("name") == from;
    };
    if (at == name) {
        faults.push_back(section.fault("fed_from", fmt::format("goes round in a circle: {}", circle),
                                       "a way that ends at the service",
                                       "name the panel its breaker sits in"));
    } else if (std::ranges::any_of(file.sections("circuits"), is_from)) {
        faults.push_back(fed_from_circuit(section));
    } else {
        faults.push_back(section.fault("fed_from", "stands further down in the file", "a node above it",
                                       fmt::format("move the entry of '{}' above this one", from)));
    }
    return true;
}

void read_node(const Section& section, NodeKind kind, const Section& file, Site& site, Faults& faults) {
    const auto names = names_of(site);
    check_name(section, names, faults);
    const bool told = check_order(section, names, file, faults);
    std::size_t parent = 0;  // the service stands in where the node above it cannot be known
    if (!told) {
        const auto named = read_reference(section, "fed_from", names, "node above it in the file", faults);
        if (named) parent = *named;
    }
    if (!section.has("name")) return;
    // A node in the wrong place is still known by its name, so that one mistake is told once.
    const Node& above = site.nodes[parent];
    Node node{.name = section.get<std::string>("name"), .kind = kind, .parent = parent};
    if (above.kind == NodeKind::circuit) faults.push_back(fed_from_circuit(section));
    node.legs = read_legs(section, above.legs, faults);
    if (!node.legs.within(above.legs)) {
        faults.push_back(section.fault("legs", fmt::format("has a leg that {} has not", above.name),
                                       legs_text(above.legs), "correct the legs of one of them"));
    }
    if (const auto* rating = section.find<Amps>("rating")) node.rating = *rating;
    if (const auto* step = section.find<Amps>("meter_resolution")) node.meter_resolution = *step;
    // A full share is a matter of one circuit: what hangs on it inherits the basis alone.
    site::ContinuousShare inherited = above.continuous;
    if (inherited.basis == ShareBasis::iec) inherited.share = 0.80;
    if (!inherited.text.empty() && !section.stated("continuous")) {
        faults.push_back(section.fault(
            "continuous", fmt::format("is missing: the share declared for {} holds for it alone", above.name),
            "nec | cec | iec | declared", "state the basis of this one's share"));
        inherited = {};
    }
    node.continuous = read_share(section, inherited, faults);
    read_limits(section, node, faults);
    if (kind != NodeKind::circuit && stated_full(section)) {
        faults.push_back(section.fault("sized_for_full_current", "is a matter of a final circuit", "no",
                                       "state it at the circuit"));
    }
    site.nodes.push_back(std::move(node));
}

// Whatever a factory reset lets the equipment draw must be bearable for hours at every node above it; the
// tightest one is told.
void check_bearable(const Section& section, const Point& point, const Site& site, Faults& faults) {
    const Node* tightest = nullptr;
    for (const std::size_t index : site::path(site, point)) {
        const Node& node = site.nodes[index];
        if (node.rating <= Amps(0)) continue;
        if (tightest == nullptr || continuous_limit(node) < continuous_limit(*tightest)) tightest = &node;
    }
    if (tightest == nullptr) return;
    const WholeAmps most = floor_amps(continuous_limit(*tightest));
    if (point.hard_setting <= most) return;
    const bool circuit = tightest->kind == NodeKind::circuit;
    const double percent = tightest->continuous.share * 100;
    faults.push_back(section.fault(
        "hard_setting",
        fmt::format("is above what {}{} may carry for hours ({:g} % of {:g} A{}): a factory reset of the "
                    "equipment would load {} past {:g} %",
                    circuit ? "circuit " : "", tightest->name, percent, tightest->rating.count(),
                    tightest->meter_resolution > Amps(0)
                        ? fmt::format(" less its meter's {:g} A", tightest->meter_resolution.count())
                        : "",
                    circuit ? "this breaker" : "it", percent),
        fmt::format("at most {} A", most.count()),
        fmt::format("have the installer set {} A or less", most.count())));
}

void check_setting(const Section& section, const Point& point, Faults& faults) {
    // IEC 61851-1, SAE J1772: duty 85 % is 51 A by one formula and 52.5 A by the other; the pilot has nothing
    // between.
    if (point.hard_setting == WholeAmps(52)) {
        faults.push_back(section.fault("hard_setting", "does not exist on the control pilot",
                                       "51 A, or 53 A and more", "write 51 A"));
    }
    if (point.standing == WholeAmps(52)) {
        faults.push_back(section.fault("standing", "does not exist on the control pilot",
                                       "51 A, or 53 A and more", "write 51 A"));
    }
    if (point.minimum > point.hard_setting) {
        faults.push_back(section.fault("minimum", "is above the installer's setting",
                                       point.hard_setting == WholeAmps(6)
                                           ? "6 A"
                                           : fmt::format("6 A to {} A", point.hard_setting.count()),
                                       "correct one of them"));
    }
    if (point.standing && *point.standing > point.hard_setting) {
        faults.push_back(section.fault("standing", "is above the installer's setting",
                                       fmt::format("auto, or 0 A to {} A", point.hard_setting.count()),
                                       "lower it"));
    }
    if (point.standing && *point.standing != WholeAmps(0) && *point.standing < point.minimum) {
        faults.push_back(section.fault("standing", "is below the point's minimum",
                                       fmt::format("0 A, or {} A and more", point.minimum.count()), ""));
    }
}

void read_plug(const Section& section, Point& point, Faults& faults) {
    const bool plug = section.find<std::string>("connection") != nullptr &&
                      section.get<std::string>("connection") == "receptacle";
    if (plug != section.stated("receptacle")) {
        faults.push_back(
            section.fault(plug ? "connection" : "receptacle",
                          plug ? "needs the receptacle's rating" : "stands without 'connection: receptacle'",
                          "both or neither", plug ? "add 'receptacle: 50 A' with its rating" : ""));
        return;
    }
    if (!section.has("receptacle")) return;
    point.receptacle = section.get<Amps>("receptacle");
    const WholeAmps most = floor_amps(*point.receptacle * kReceptacleShare);
    if (point.hard_setting > most) {
        faults.push_back(section.fault("hard_setting", "is above 80 % of the receptacle's rating",
                                       fmt::format("at most {} A", most.count()),
                                       fmt::format("have the installer set {} A or less", most.count())));
    }
}

void read_point(const Section& section, Site& site, Faults& faults) {
    std::vector<std::string> points;
    for (const Point& point : site.points) points.push_back(point.name);
    check_name(section, points, faults);
    const auto node = read_reference(section, "circuit", names_of(site), "circuit", faults);
    if (!section.has("name")) return;
    const Node& circuit = site.nodes[node.value_or(0)];
    if (node && circuit.kind != NodeKind::circuit) {
        faults.push_back(
            section.fault("circuit", "is no circuit", "a name under 'circuits'", "name its own circuit"));
    }
    Point point{.name = section.get<std::string>("name"),
                .circuit = node.value_or(0),
                .legs = read_legs(section, circuit.legs, faults)};
    if (!point.legs.within(circuit.legs)) {
        faults.push_back(section.fault("legs", fmt::format("has a leg that circuit {} has not", circuit.name),
                                       legs_text(circuit.legs), ""));
    }
    if (const auto* minimum = section.find<WholeAmps>("minimum")) point.minimum = *minimum;
    if (const auto* control = section.find<std::string>("control")) {
        point.control = *control == "by-hand" ? site::Control::by_hand : site::Control::driven;
    }
    if (const auto* standing = section.find<WholeAmps>("standing")) point.standing = *standing;
    if (const auto* beyond = section.find<bool>("standing_beyond_limit"))
        point.standing_beyond_limit = *beyond;
    if (const auto* setting = section.find<WholeAmps>("hard_setting")) {
        point.hard_setting = *setting;
        if (node) check_bearable(section, point, site, faults);
        check_setting(section, point, faults);
        read_plug(section, point, faults);
    }
    site.points.push_back(std::move(point));
}

}  // namespace

void check_not_empty(const Section& section, std::string_view key, std::string allowed, std::string mend,
                     Faults& faults) {
    if (!section.stated(key) || !section.list(key).empty()) return;
    const std::string path = fmt::format("{}.{}", section.path(), key);
    // A list none of whose words could be read was told of word by word.
    const bool told = std::ranges::any_of(
        faults, [&](const Fault& fault) { return fault.key == path || fault.key.starts_with(path + "["); });
    if (!told) {
        faults.push_back(section.fault(key, "is an empty list", std::move(allowed), std::move(mend)));
    }
}

Legs read_legs(const Section& section, Legs otherwise, Faults& faults) {
    check_not_empty(section, "legs", legs_text(otherwise), "name its legs, or leave it out if it has all",
                    faults);
    Legs legs;
    const auto& elements = section.list("legs");
    for (std::size_t index = 0; index < elements.size(); ++index) {
        const auto leg = static_cast<site::Leg>(std::get<std::string>(elements[index].value).at(1) - '1');
        if (legs.has(leg)) {
            faults.push_back(section.element_fault("legs", index, "stands in the list twice", "each leg once",
                                                   "name the other leg it has, or remove one of them"));
        }
        legs.add(leg);
    }
    return legs.count() == 0 ? otherwise : legs;
}

std::optional<std::size_t> read_reference(const Section& section, std::string_view key,
                                          const std::vector<std::string>& names, std::string_view what,
                                          Faults& faults) {
    const auto* name = section.find<std::string>(key);
    if (name == nullptr) return std::nullopt;
    const auto found = std::ranges::find(names, *name);
    if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
    std::string known;
    for (const std::string& one : names) known += (known.empty() ? "" : ", ") + one;
    const auto meant = nearest(*name, names);
    faults.push_back(
        section.fault(key, fmt::format("names nothing: there is no {} of that name", what), known,
                      meant ? fmt::format("did you mean '{}'?", *meant) : "correct the name, or add it"));
    return std::nullopt;
}

Site read_tree(const Section& file, Faults& faults) {
    Site site;
    const auto& services = file.sections("service");
    const Section service = services.empty() ? Section{} : services[0];
    if (const auto* supply = service.find<std::string>("supply"))
        site.supply = chosen<Supply>(kSupplies, *supply);
    if (const auto* volts = service.find<Volts>("leg_to_neutral")) site.leg_to_neutral = *volts;
    if (site.leg_to_neutral.count() != std::round(site.leg_to_neutral.count())) {
        faults.push_back(service.fault("leg_to_neutral", "is not a whole number of volts",
                                       "the nominal voltage", "write 120 V or 230 V"));
    }
    const bool of_120 = site.supply == Supply::split_phase || site.supply == Supply::two_legs_of_208;
    if (of_120 && site.leg_to_neutral > Volts(140)) {
        faults.push_back(service.fault("leg_to_neutral",
                                       "is the voltage across two legs of such a supply, or of another one",
                                       "100 V to 140 V, from one leg to neutral", "write 120 V"));
    }
    site.nodes.push_back(read_service(service, faults));
    for (const Section& feeder : file.sections("feeders"))
        read_node(feeder, NodeKind::feeder, file, site, faults);
    for (const Section& circuit : file.sections("circuits"))
        read_node(circuit, NodeKind::circuit, file, site, faults);
    for (const Section& point : file.sections("points")) read_point(point, site, faults);
    for (const std::string_view key : {"circuits", "points"}) {
        if (file.stated(key) && file.sections(key).empty()) {
            faults.push_back(file.fault(key, "is an empty list", "at least one", "add it"));
        }
    }
    for (const Section& options : file.sections("options")) {
        if (const auto* lease = options.find<Seconds>("lease")) site.lease = *lease;
    }
    return site;
}

}  // namespace lullwatt::io
