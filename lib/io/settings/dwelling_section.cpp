#include "io/settings/dwelling_section.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include <fmt/format.h>

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

std::optional<Code> read_code(const Section& section, const site::Site& site, Faults& faults) {
    const site::ShareBasis basis = site.nodes.at(0).continuous.basis;
    if (basis == site::ShareBasis::nec) return Code::nec;
    if (basis == site::ShareBasis::cec) return Code::cec;
    faults.push_back(section.fault(
        "", "is a load calculation of the NEC or the CEC, and the service follows neither",
        "service.continuous: nec or cec beside it", "remove it, or correct the service's 'continuous'"));
    return std::nullopt;
}

void check_edition(const Section& section, Code code, Faults& faults) {
    const auto* edition = section.find<long long>("edition");
    if (edition == nullptr) return;
    static constexpr std::array kNec = {2017LL, 2020LL, 2023LL, 2026LL};
    static constexpr std::array kCec = {2021LL, 2024LL};
    const bool known =
        code == Code::nec ? std::ranges::count(kNec, *edition) > 0 : std::ranges::count(kCec, *edition) > 0;
    if (known) return;
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
    const auto code = read_code(section, site, faults);
    if (!code) return std::nullopt;
    check_edition(section, *code, faults);
    DwellingSettings settings{.code = *code, .adds_climate = yes(section, "adds_heating_or_cooling")};
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

}  // namespace lullwatt::io
