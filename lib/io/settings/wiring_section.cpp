#include "io/settings/wiring_section.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/quantity/money.hpp"

namespace lullwatt::io {
namespace {

using circuit::CableMethod;
using circuit::CableTable;

constexpr std::array<std::string_view, 8> kSizes = {"1.5 mm2", "2.5 mm2", "4 mm2",  "6 mm2",
                                                    "10 mm2",  "16 mm2",  "25 mm2", "35 mm2"};
constexpr std::array<std::string_view, 6> kTables = {"iec-pvc", "iec-xlpe", "bs-4d1a",
                                                     "bs-4e1a", "bs-4d5",   "bs-4e4a"};
constexpr std::array<std::string_view, 15> kMethods = {"A",  "A1", "A2", "B",   "B1",  "B2",  "C",  "D",
                                                       "D1", "D2", "E",  "100", "101", "102", "103"};
constexpr std::array<std::string_view, 5> kGroupings = {"enclosed", "single-layer-wall", "single-layer-tray",
                                                        "direct-in-ground", "ducts-in-ground"};

template <std::size_t N>
std::size_t index_of(const std::array<std::string_view, N>& words, const std::string& word) {
    return static_cast<std::size_t>(std::ranges::find(words, word) - words.begin());
}

template <class Value>
std::optional<Value> entered(const Section& section, std::string_view key) {
    if (!section.stated(key)) return std::nullopt;
    const auto* value = section.find<Value>(key);
    return value == nullptr ? std::nullopt : std::optional(*value);
}

std::optional<CableSettings> read_cable(const Section& section, const site::Site& site,
                                        const site::Node& node) {
    for (const std::string_view key : {"size", "table", "method", "length", "ambient", "circuits", "grouping",
                                       "device", "dropped_before"}) {
        if (!section.has(key)) return std::nullopt;
    }
    const bool three = node.legs.count() == 3;
    CableSettings cable;
    cable.size = circuit::kCableSizes[index_of(kSizes, section.get<std::string>("size"))];
    circuit::CableCase& of = cable.run.cable;
    of.design_current = node.rating;
    of.device.rating = node.rating;
    of.device.type = section.get<std::string>("device") == "fuse" ? circuit::DeviceType::fuse_gg
                                                                  : circuit::DeviceType::breaker;
    of.kind = {static_cast<CableTable>(index_of(kTables, section.get<std::string>("table"))),
               static_cast<CableMethod>(index_of(kMethods, section.get<std::string>("method"))),
               three ? circuit::Phases::three : circuit::Phases::single};
    of.surroundings.ambient = section.get<circuit::Celsius>("ambient");
    of.surroundings.circuits = static_cast<int>(section.get<long long>("circuits"));
    of.surroundings.grouping =
        static_cast<circuit::Grouping>(index_of(kGroupings, section.get<std::string>("grouping")));
    if (const auto* factor = section.find<double>("thermal_insulation"))
        of.surroundings.thermal_insulation = *factor;
    if (const auto* soil = section.find<double>("soil"))
        of.surroundings.soil = circuit::KelvinMetresPerWatt(*soil);
    if (const auto* capacity = section.find<Amps>("capacity"))
        of.capacity = circuit::EnteredCapacity{*capacity};
    cable.run.supply = {of.kind.phases, site.leg_to_neutral,
                        Volts(std::round(site.leg_to_neutral.count() * std::sqrt(3.0)))};
    cable.run.length = section.get<Metres>("length");
    const circuit::Percent allowed =
        circuit::drop_limit(circuit::DropUse::other, circuit::SupplyOrigin::public_network, cable.run.length);
    cable.run.drop_allowed = allowed - circuit::Percent(section.get<Percent>("dropped_before").percent);
    cable.zs = entered<std::string>(section, "zs");
    cable.earthing = entered<std::string>(section, "earthing");
    cable.residual_current = entered<std::string>(section, "residual_current");
    cable.open_pen = entered<std::string>(section, "open_pen");
    cable.surge_protection = entered<bool>(section, "surge_protection");
    cable.notified = entered<bool>(section, "notified");
    return cable;
}

constexpr std::array<std::string_view, 6> kWirings = {"nm-b",     "nmd90",    "thhn-in-raceway",
                                                      "other-60", "other-75", "other-90"};
constexpr std::array<std::string_view, 3> kTerminals = {"unmarked", "marked-60", "marked-75"};
constexpr std::array<std::string_view, 3> kRaceways = {"emt", "pvc-40", "pvc-80"};
constexpr std::array<std::string_view, 6> kTradeSizes = {"1/2", "3/4", "1", "1-1/4", "1-1/2", "2"};

// "3 x 12 AWG"
std::optional<circuit::Conductors> read_conductors(const std::string& text) {
    const auto cross = text.find(" x ");
    if (cross == text.npos) return std::nullopt;
    const auto count = parse_decimal(text.substr(0, cross), 0);
    const auto size = circuit::wire_size_of(text.substr(cross + 3));
    if (!count || *count < 1 || *count > 99 || !size || !circuit::covered_area(*size)) return std::nullopt;
    return circuit::Conductors{static_cast<int>(*count), *size};
}

std::optional<RacewaySettings> read_raceway(const Section& section, Faults& faults) {
    if (section.stated("raceway") != section.stated("raceway_size"))
        faults.push_back(section.fault(section.stated("raceway") ? "raceway" : "raceway_size", "stands alone",
                                       "raceway and raceway_size together", "add the other"));
    if (section.stated("already_inside") && !section.stated("conductors"))
        faults.push_back(section.fault(
            "already_inside",
            "is told without how many conductors carry current together, which makes all of them hotter",
            "conductors beside it",
            "add 'conductors: N': the circuit's own and all others but grounding conductors"));
    if (section.stated("raceway") && section.find<std::string>("wiring") != nullptr &&
        (section.get<std::string>("wiring") == "nm-b" || section.get<std::string>("wiring") == "nmd90"))
        faults.push_back(section.fault("raceway",
                                       "is reckoned for single conductors, and the wiring is a cable",
                                       "with 'wiring: thhn-in-raceway'", "remove it, or correct 'wiring'"));
    if (section.stated("already_inside") && !section.stated("raceway"))
        faults.push_back(section.fault("already_inside", "stands without a raceway",
                                       "raceway and raceway_size beside it", "add them"));
    RacewaySettings raceway;
    const auto& inside = section.list("already_inside");
    for (std::size_t at = 0; at < inside.size(); ++at) {
        if (const auto some = read_conductors(inside[at].written)) {
            raceway.already.push_back(*some);
        } else {
            faults.push_back(section.element_fault("already_inside", at,
                                                   "is no number of conductors with their size",
                                                   "14 AWG to 4/0 AWG", "write it as in '3 x 12 AWG'"));
        }
    }
    if (!section.has("raceway") || !section.has("raceway_size")) return std::nullopt;
    raceway.raceway = static_cast<circuit::Raceway>(index_of(kRaceways, section.get<std::string>("raceway")));
    raceway.size =
        static_cast<circuit::TradeSize>(index_of(kTradeSizes, section.get<std::string>("raceway_size")));
    return raceway;
}

std::optional<WireSettings> read_wire(const Section& section, const site::Node& node, int edition,
                                      Faults& faults) {
    auto raceway = read_raceway(section, faults);
    for (const std::string_view key :
         {"size", "metal", "wiring", "terminals", "length", "ambient", "conductors", "device"}) {
        if (!section.has(key)) return std::nullopt;
    }
    const bool cec = node.continuous.basis == site::ShareBasis::cec;
    WireSettings wire{
        .conductor = {.code = cec ? circuit::Code::cec : circuit::Code::nec,
                      .edition = cec            ? 2024
                                 : edition == 0 ? 2023
                                                : edition,
                      .continuous = node.rating,
                      .device = node.rating,
                      .device_type = section.get<std::string>("device") == "fuse"
                                         ? circuit::OvercurrentDevice::fuse
                                         : circuit::OvercurrentDevice::breaker,
                      .metal = section.get<std::string>("metal") == "copper" ? circuit::Metal::copper
                                                                             : circuit::Metal::aluminium,
                      .wiring = static_cast<circuit::Wiring>(
                          index_of(kWirings, section.get<std::string>("wiring"))),
                      .terminals = static_cast<circuit::Terminals>(
                          index_of(kTerminals, section.get<std::string>("terminals"))),
                      .ambient = section.get<circuit::Celsius>("ambient"),
                      .conductors = static_cast<int>(section.get<long long>("conductors"))},
        .size = *circuit::wire_size_of(section.get<std::string>("size")),
        .length = section.get<Metres>("length"),
        .raceway = std::move(raceway)};
    if (const auto* neutral = section.find<bool>("neutral")) wire.neutral = *neutral;
    if (const auto* detached = section.find<bool>("detached")) wire.detached = *detached;
    const bool indoors =
        wire.conductor.wiring == circuit::Wiring::nm_b || wire.conductor.wiring == circuit::Wiring::nmd90;
    if (wire.detached && indoors)
        faults.push_back(
            section.fault("wiring", "is a cable for dry places, and the way to another building is none",
                          "thhn-in-raceway, other-75 or other-90",
                          "state the wiring that lies outside; the code book says which cables may"));
    if (const auto* factor = section.find<double>("factor")) wire.conductor.entered_factor = *factor;
    return wire;
}

}  // namespace

Wiring read_wiring(const Section& section, const site::Site& site, const site::Node& node, int edition,
                   Faults& faults) {
    Wiring wiring;
    if (const auto& cables = section.sections("cable"); !cables.empty()) {
        if (node.continuous.basis != site::ShareBasis::iec)
            faults.push_back(cables[0].fault("", "is a cable by IEC, and the node follows other rules",
                                             "with 'continuous: iec'", "remove it, or correct 'continuous'"));
        wiring.cable = read_cable(cables[0], site, node);
    }
    if (const auto& wires = section.sections("wire"); !wires.empty()) {
        const bool american =
            node.continuous.basis == site::ShareBasis::nec || node.continuous.basis == site::ShareBasis::cec;
        if (!american)
            faults.push_back(
                wires[0].fault("", "is a wire by the NEC or the CEC, and the node follows other rules",
                               "with 'continuous: nec' or 'cec'", "remove it, or correct 'continuous'"));
        wiring.wire = read_wire(wires[0], node, edition, faults);
    }
    return wiring;
}

}  // namespace lullwatt::io
