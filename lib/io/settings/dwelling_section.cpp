#include "io/settings/dwelling_section.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include <fmt/format.h>

#include "io/settings/site_tree.hpp"

namespace lullwatt::io {
namespace {

using circuit::ApplianceKind;
using circuit::ClimateKind;
using circuit::Code;

constexpr std::array<std::string_view, 8> kAppliances = {
    "range", "cooking", "dryer", "water-heater", "tankless-water-heater", "pool-or-spa", "fixed", "motor"};
constexpr std::array<std::string_view, 5> kClimates = {"air-conditioning", "heat-pump", "central-heat",
                                                       "separate-heaters", "thermal-storage"};
constexpr std::array<std::string_view, 3> kCars = {"none", "never-held-back", "held-back"};

template <class Enum, std::size_t N>
Enum chosen(const std::array<std::string_view, N>& words, const std::string& word) {
    return static_cast<Enum>(std::ranges::find(words, word) - words.begin());
}

bool yes(const Section& section, std::string_view key) {
    const auto* flag = section.find<bool>(key);
    return flag != nullptr && *flag;
}

std::optional<Rules> read_rules(const Section& section, const site::Site& site, Faults& faults) {
    switch (site.nodes.at(0).continuous.basis) {
        case site::ShareBasis::nec:
            return Rules::nec;
        case site::ShareBasis::cec:
            return Rules::cec;
        case site::ShareBasis::iec:
            return Rules::iec;
        case site::ShareBasis::declared:
            break;
    }
    faults.push_back(
        section.fault("", "needs to know whose rules it follows, and the service's share is declared",
                      "service.continuous: nec, cec or iec beside it",
                      "remove it, or state the rules at the service and 'declared' further down"));
    return std::nullopt;
}

// Each kind of rules has its own keys; those of the others would be read by nobody.
void check_keys(const Section& section, Rules rules, Faults& faults) {
    static constexpr std::array<std::string_view, 10> kAmerican = {
        "edition",          "area",
        "below_ground",     "loads",
        "climate",          "adds_heating_or_cooling",
        "measured",         "small_appliance_circuits",
        "laundry_circuits", "heating_excludes_cooling"};
    const auto foreign = [&](std::string_view key, std::string_view whose) {
        if (section.stated(key))
            faults.push_back(
                section.fault(key, fmt::format("is a matter of {}, which the service does not follow", whose),
                              "", "remove it, or correct the service's 'continuous'"));
    };
    if (rules == Rules::iec) {
        for (const std::string_view key : kAmerican) foreign(key, "the NEC and the CEC");
        return;
    }
    foreign("household", "iec");
    if (rules == Rules::nec) foreign("heating_excludes_cooling", "the CEC");
    if (rules == Rules::cec) {
        for (const std::string_view key :
             {"adds_heating_or_cooling", "small_appliance_circuits", "laundry_circuits"})
            foreign(key, "the NEC");
    }
    for (const std::string_view key : {"edition", "area"}) {
        if (!section.stated(key))
            faults.push_back(section.fault(
                key, "is missing", "required under nec and cec",
                fmt::format("add it, such as '{}'", key == "area" ? "area: 150 m2" : "edition: 2023")));
    }
}

// Half a description would give a headroom that is not there.
void check_household(const Section& section, Faults& faults) {
    if (section.sections("household").empty())
        faults.push_back(section.fault("household", "says nothing of what is connected", "at least one load",
                                       "list lighting, cooking, water heating, final circuits and the rest"));
}

void read_household(const Section& section, const site::Site& site, DwellingSettings& settings,
                    Faults& faults) {
    static constexpr std::array<std::string_view, 7> kUses = {
        "lighting",          "heating-and-power", "cooking",        "instantaneous-water",
        "without-diversity", "final-circuit",     "socket-or-fixed"};
    for (const Section& load : section.sections("household")) {
        if (!load.has("name") || !load.has("use") || !load.has("current")) continue;
        const site::Legs all = site.nodes[0].legs;
        const site::Legs legs = read_legs(load, all, faults);
        if (!legs.within(all))
            faults.push_back(load.fault("legs", "has a leg that the service has not", "",
                                        "correct the legs of one of them"));
        const auto use = chosen<circuit::HouseholdUse>(kUses, load.get<std::string>("use"));
        if (load.stated("with_socket") && use != circuit::HouseholdUse::cooking)
            faults.push_back(
                load.fault("with_socket", "is a matter of cooking", "with 'use: cooking' only", "remove it"));
        settings.household.push_back(
            {{load.get<std::string>("name"), use, load.get<Amps>("current"), yes(load, "with_socket")},
             legs});
    }
}

void check_edition(const Section& section, Code code, Faults& faults) {
    const auto* edition = section.find<long long>("edition");
    if (edition == nullptr) return;
    if (std::ranges::count(circuit::editions(code), *edition) > 0) return;
    faults.push_back(section.fault(
        "edition",
        fmt::format("is no edition of the {} that this program knows", code == Code::nec ? "NEC" : "CEC"),
        code == Code::nec ? "2017, 2020, 2023, 2026" : "2021, 2024",
        "take the one that your authority has adopted"));
}

void read_loads(const Section& section, circuit::Dwelling& dwelling) {
    for (const Section& load : section.sections("loads")) {
        if (!load.has("name") || !load.has("kind") || !load.has("nameplate")) continue;
        dwelling.appliances.push_back({load.get<std::string>("name"),
                                       chosen<ApplianceKind>(kAppliances, load.get<std::string>("kind")),
                                       load.get<VoltAmperes>("nameplate")});
    }
}

void read_climate(const Section& section, circuit::Dwelling& dwelling, Faults& faults) {
    for (const Section& load : section.sections("climate")) {
        if (!load.has("name") || !load.has("kind") || !load.has("nameplate") || !load.has("controls"))
            continue;
        circuit::ClimateLoad climate{.name = load.get<std::string>("name"),
                                     .kind = chosen<ClimateKind>(kClimates, load.get<std::string>("kind")),
                                     .power = load.get<VoltAmperes>("nameplate"),
                                     .interlocked = yes(load, "interlocked"),
                                     .controls = static_cast<int>(load.get<long long>("controls"))};
        const bool pump = climate.kind == ClimateKind::heat_pump;
        climate.motor = (pump || climate.kind == ClimateKind::air_conditioning) && yes(load, "motor_quarter");
        if (const auto* supplemental = load.find<VoltAmperes>("supplemental"))
            climate.supplemental = *supplemental;
        for (const std::string_view key : {"supplemental", "interlocked"}) {
            if (load.stated(key) && !pump)
                faults.push_back(
                    load.fault(key, "is a matter of heat pumps", "with 'kind: heat-pump' only", "remove it"));
        }
        if (load.stated("controls") && climate.kind != ClimateKind::separate_heaters)
            faults.push_back(load.fault("controls", "is a matter of separate heaters",
                                        "with 'kind: separate-heaters' only", "remove it"));
        dwelling.climate.push_back(std::move(climate));
    }
}

std::optional<MeasuredSettings> read_measured(const Section& dwelling, const std::filesystem::path& folder,
                                              Faults& faults) {
    const auto& sections = dwelling.sections("measured");
    if (sections.empty() || !sections[0].has("cars") || !sections[0].has("generation_or_storage"))
        return std::nullopt;
    const Section& section = sections[0];
    MeasuredSettings measured{.cars = chosen<circuit::CarsInData>(kCars, section.get<std::string>("cars")),
                              .generation_or_storage = section.get<bool>("generation_or_storage"),
                              .occupied = yes(section, "occupied")};
    if (const auto* file = section.find<std::string>("cars_history")) measured.cars_history = folder / *file;
    if (const auto* seasonal = section.find<VoltAmperes>("seasonal")) measured.seasonal = *seasonal;
    if (const auto* factor = section.find<double>("power_factor")) measured.power_factor = *factor;
    if (const auto* factor = section.find<double>("hourly_correction")) measured.hourly_correction = *factor;
    if (measured.cars_history && measured.cars != circuit::CarsInData::held_back)
        faults.push_back(section.fault("cars_history", "is for cars that were held back",
                                       "with 'cars: held-back' only", "remove it, or correct 'cars'"));
    return measured;
}

}  // namespace

std::optional<DwellingSettings> read_dwelling(const Section& file, const site::Site& site,
                                              const std::filesystem::path& folder, Faults& faults) {
    const auto& sections = file.sections("dwelling");
    if (sections.empty()) return std::nullopt;
    const Section& section = sections[0];
    const auto rules = read_rules(section, site, faults);
    if (!rules) return std::nullopt;
    check_keys(section, *rules, faults);
    DwellingSettings settings{.rules = *rules,
                              .code = *rules == Rules::cec ? Code::cec : Code::nec,
                              .adds_climate = yes(section, "adds_heating_or_cooling")};
    if (*rules == Rules::iec) {
        check_household(section, faults);
        read_household(section, site, settings, faults);
    } else {
        check_edition(section, settings.code, faults);
    }
    if (const auto* edition = section.find<long long>("edition"))
        settings.edition = static_cast<int>(*edition);
    circuit::Dwelling& dwelling = settings.dwelling;
    if (const auto* area = section.find<circuit::FloorArea>("area")) dwelling.living = *area;
    if (const auto* area = section.find<circuit::FloorArea>("below_ground")) dwelling.below_ground = *area;
    if (const auto* circuits = section.find<long long>("small_appliance_circuits"))
        dwelling.small_appliance_circuits = static_cast<int>(*circuits);
    if (const auto* circuits = section.find<long long>("laundry_circuits"))
        dwelling.laundry_circuits = static_cast<int>(*circuits);
    dwelling.heating_excludes_cooling = yes(section, "heating_excludes_cooling");
    read_loads(section, dwelling);
    read_climate(section, dwelling, faults);
    dwelling.service = site.nodes[0].rating;
    dwelling.three_phase = site.supply == site::Supply::three_phase;
    const site::Legs across =
        site.nodes[0].legs.count() > 1 ? site::Legs{site::Leg::L1, site::Leg::L2} : site.nodes[0].legs;
    dwelling.across = Volts(dwelling.three_phase
                                ? std::round(site.leg_to_neutral.count() * std::sqrt(3.0))
                                : site::watts_per_ampere(site.supply, site.leg_to_neutral, across).count());
    for (const site::Point& point : site.points) {
        dwelling.equipment.push_back(
            {point.name, point.hard_setting,
             VoltAmperes(site::watts_per_ampere(site.supply, site.leg_to_neutral, point.legs).count())});
    }
    settings.measured = read_measured(section, folder, faults);
    return settings;
}

std::optional<site::LegAmps> demand_without_cars(const DwellingSettings& dwelling, const site::Site& site) {
    site::LegAmps demand{};
    const auto american =
        dwelling.rules == Rules::iec
            ? std::nullopt
            : circuit::demand_without_cars(dwelling.dwelling, dwelling.code, dwelling.edition);
    if (dwelling.rules != Rules::iec && !american) return std::nullopt;
    for (const site::Leg leg : site::kLegs) {
        if (!site.nodes[0].legs.has(leg)) continue;
        std::vector<circuit::HouseholdLoad> loads;
        for (const HouseholdSettings& one : dwelling.household) {
            if (one.legs.has(leg)) loads.push_back(one.load);
        }
        demand[static_cast<std::size_t>(leg)] = american ? *american : circuit::household_demand(loads).total;
    }
    return demand;
}

}  // namespace lullwatt::io
