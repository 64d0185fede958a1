#include "io/settings/wiring_section.hpp"

#include <algorithm>
#include <array>
#include <cmath>

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

}  // namespace

Wiring read_wiring(const Section& section, const site::Site& site, const site::Node& node, Faults& faults) {
    Wiring wiring;
    if (const auto& cables = section.sections("cable"); !cables.empty()) {
        if (node.continuous.basis != site::ShareBasis::iec)
            faults.push_back(cables[0].fault("", "is a cable by IEC, and the node follows other rules",
                                             "with 'continuous: iec'", "remove it, or correct 'continuous'"));
        wiring.cable = read_cable(cables[0], site, node);
    }
    return wiring;
}

}  // namespace lullwatt::io
