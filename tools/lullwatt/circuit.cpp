#include <algorithm>
#include <array>
#include <cctype>
#include <memory>
#include <ostream>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "io/fault/printable.hpp"
#include "io/history/history.hpp"
#include "io/settings/scalar.hpp"
#include "tools/lullwatt/circuit_text.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/option_fault.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {
namespace {

struct CircuitOption {
    SiteOption site;
    std::string point;
    int edition = 0;
    std::vector<std::string> with;
    bool questions = false;
};

// What a load is taken for, by whole words of its name.
struct Known {
    std::string_view words;
    std::optional<circuit::ClimateKind> climate;
    circuit::ApplianceKind appliance = circuit::ApplianceKind::fixed;
    std::string_view taken;
};
constexpr std::array kKnown = {
    Known{"heat pump", circuit::ClimateKind::heat_pump, {}, "a heat pump"},
    Known{"mini split", circuit::ClimateKind::heat_pump, {}, "a heat pump"},
    Known{"air conditioner", circuit::ClimateKind::air_conditioning, {}, "air conditioning"},
    Known{"air conditioning", circuit::ClimateKind::air_conditioning, {}, "air conditioning"},
    Known{"space heater", circuit::ClimateKind::separate_heaters, {}, "separate heaters with one control"},
    Known{"baseboard", circuit::ClimateKind::separate_heaters, {}, "separate heaters with one control"},
    Known{"furnace", circuit::ClimateKind::central_heat, {}, "central heat"},
    Known{"range hood", {}, circuit::ApplianceKind::fixed, "an appliance on its own circuit"},
    Known{"tankless", {}, circuit::ApplianceKind::tankless_water_heater, "a tankless water heater"},
    Known{"water heater", {}, circuit::ApplianceKind::water_heater, "a water heater with a tank"},
    Known{"range", {}, circuit::ApplianceKind::range, "a range"},
    Known{"cooktop", {}, circuit::ApplianceKind::cooking, "a cooking unit"},
    Known{"oven", {}, circuit::ApplianceKind::cooking, "a cooking unit"},
    Known{"dryer", {}, circuit::ApplianceKind::dryer, "a dryer"},
    Known{"hot tub", {}, circuit::ApplianceKind::pool_or_spa, "a pool or spa heater"},
    Known{"spa", {}, circuit::ApplianceKind::pool_or_spa, "a pool or spa heater"},
    Known{"pool", {}, circuit::ApplianceKind::pool_or_spa, "a pool or spa heater"},
};
constexpr std::array<std::string_view, 4> kCars = {"car", "charger", "ev", "vehicle"};

// " heat pump ": words of a name in lower case with a blank around each.
std::string in_words(std::string_view name) {
    std::string words = " ";
    for (const char letter : name)
        words += std::isalnum(static_cast<unsigned char>(letter)) != 0
                     ? static_cast<char>(std::tolower(static_cast<unsigned char>(letter)))
                     : ' ';
    return words + " ";
}

bool has_words(const std::string& name, std::string_view words) {
    return name.find(fmt::format(" {} ", words)) != name.npos;
}

struct Wanted {
    std::string name;
    std::string figure;
};

// "heat pump 40 A": the figure begins at the last number.
std::optional<Wanted> split(const std::string& text) {
    for (std::size_t at = text.find(' '); at != text.npos; at = text.find(' ', at + 1)) {
        const std::string rest = text.substr(at + 1);
        if (rest.empty() || rest.front() < '0' || rest.front() > '9') continue;
        const std::string name = io::printable(text.substr(0, at), 60);
        if (in_words(name).find_first_not_of(' ') == std::string::npos) return std::nullopt;
        return Wanted{name, rest};
    }
    return std::nullopt;
}

// Amperes alone are at the service's own voltage.
std::optional<VoltAmperes> nameplate_of(const std::string& figure, Volts across) {
    const bool amps_alone = figure.ends_with(" A");
    const io::Option option{.key = "--with", .kind = io::Kind::nameplate, .least = 1, .greatest = 100000};
    const auto read =
        io::parse_scalar(option, io::Kind::nameplate,
                         amps_alone ? fmt::format("{} at {:g} V", figure, across.count()) : figure);
    const auto* scalar = std::get_if<io::Scalar>(&read);
    return scalar == nullptr ? std::nullopt : std::optional(std::get<VoltAmperes>(*scalar));
}

std::string add_american(const Wanted& wanted, VoltAmperes power, io::DwellingSettings& dwelling) {
    const std::string name = in_words(wanted.name);
    const std::string begin = fmt::format("with {}: {:.0f} VA, taken for ", wanted.name, power.count());
    if (std::ranges::any_of(kCars, [&](std::string_view word) { return has_words(name, word); })) {
        const VoltAmperes each(dwelling.dwelling.across.count());
        const auto amps = ceil_amps(Amps(power.count() / each.count()));
        dwelling.dwelling.equipment.push_back({wanted.name, amps, each});
        return begin + fmt::format("cars' supply equipment set to {} A", amps.count());
    }
    const auto known =
        std::ranges::find_if(kKnown, [&](const Known& one) { return has_words(name, one.words); });
    if (known != kKnown.end() && known->climate) {
        const bool motor = *known->climate == circuit::ClimateKind::heat_pump ||
                           *known->climate == circuit::ClimateKind::air_conditioning;
        dwelling.dwelling.climate.push_back(
            {.name = wanted.name, .kind = *known->climate, .power = power, .motor = motor});
        dwelling.adds_climate = true;
        return begin + std::string(known->taken) +
               (dwelling.code == circuit::Code::nec ? ", so heating or cooling is added" : "");
    }
    const bool found = known != kKnown.end();
    dwelling.dwelling.appliances.push_back(
        {wanted.name, found ? known->appliance : circuit::ApplianceKind::fixed, power});
    return begin + std::string(found ? known->taken : "an appliance on its own circuit");
}

io::Faults add_wanted(const CircuitOption& option, io::Household& house, CircuitAnswer& answer,
                      VoltAmperes& added) {
    io::Faults faults;
    if (option.with.empty()) return faults;
    if (!house.site.dwelling) {
        return {option_fault("--with", "needs a described dwelling to be added to", "",
                             "a site file with 'dwelling'",
                             "describe the house there (lullwatt setup --reference shows how)")};
    }
    io::DwellingSettings& dwelling = *house.site.dwelling;
    std::size_t cars = 0;
    for (const std::string& text : option.with) {
        const auto wanted = split(text);
        const auto power = wanted ? nameplate_of(wanted->figure, dwelling.rules == io::Rules::iec
                                                                     ? house.site.site.leg_to_neutral
                                                                     : dwelling.dwelling.across)
                                  : std::nullopt;
        if (!power) {
            faults.push_back(option_fault("--with", "is not a load with its size", text,
                                          "a name and a figure such as 'heat pump 40 A' or 'sauna 6 kW'",
                                          "add the figure with its unit"));
            continue;
        }
        if (dwelling.rules != io::Rules::iec) {
            answer.added.push_back(add_american(*wanted, *power, dwelling));
            const bool car = dwelling.dwelling.equipment.size() > house.site.site.points.size() + cars;
            cars += car ? 1 : 0;
            if (!car) added += *power;  // equipment counts among the others by its setting
            continue;
        }
        // Whole on every leg, for it may come on any of them.
        const Amps each(power->count() / house.site.site.leg_to_neutral.count());
        const std::string name = in_words(wanted->name);
        const bool car =
            std::ranges::any_of(kCars, [&](std::string_view word) { return has_words(name, word); });
        const auto use =
            car ? circuit::HouseholdUse::charging_point : circuit::HouseholdUse::without_diversity;
        dwelling.household.push_back({{wanted->name, use, each}, house.site.site.nodes[0].legs});
        answer.added.push_back(fmt::format(
            "with {}: {:.1f} A on any leg, without diversity; of three phases give the amperes of one",
            wanted->name, each.count()));
    }
    return faults;
}

io::Read<MeterData> read_data(const io::Household& house) {
    MeterData data;
    if (!house.site.dwelling || !house.site.dwelling->measured) return data;
    io::Faults faults;
    const auto read = [&](const std::filesystem::path& file, std::optional<site::MeterHistory>& into) {
        auto history = io::read_history(file);
        if (history.ok()) {
            into = std::move(history).value();
        } else {
            faults.insert(faults.end(), history.faults().begin(), history.faults().end());
        }
    };
    const auto& service = house.site.loads[0];
    if (service && service->history) read(*service->history, data.service);
    if (house.site.dwelling->measured->cars_history)
        read(*house.site.dwelling->measured->cars_history, data.cars);
    if (!faults.empty()) return faults;
    return data;
}

io::Faults choose(const CircuitOption& option, io::Household& house, std::vector<std::size_t>& points) {
    std::string names;
    for (std::size_t point = 0; point < house.site.site.points.size(); ++point) {
        const std::string& name = house.site.site.points[point].name;
        names += (names.empty() ? "" : ", ") + name;
        if (option.point.empty() || option.point == name) points.push_back(point);
    }
    io::Faults faults;
    if (points.empty())
        faults.push_back(
            option_fault("--point", "names no point of this site", option.point, names, "take one of these"));
    if (option.edition != 0) {
        if (!house.site.dwelling || house.site.dwelling->rules == io::Rules::iec) {
            faults.push_back(option_fault("--edition", "needs a dwelling under nec or cec",
                                          std::to_string(option.edition), "a site file with 'dwelling'",
                                          "leave it out"));
        } else if (std::ranges::count(circuit::editions(house.site.dwelling->code), option.edition) == 0) {
            std::string known;
            for (const int one : circuit::editions(house.site.dwelling->code))
                known += fmt::format("{}{}", known.empty() ? "" : ", ", one);
            faults.push_back(option_fault(
                "--edition", "is no edition of the service's code that this program knows",
                std::to_string(option.edition), known, "take the one that your authority has adopted"));
        } else {
            house.site.dwelling->edition = option.edition;
            for (io::Wiring& wiring : house.site.wiring) {
                if (wiring.wire && wiring.wire->conductor.code == circuit::Code::nec)
                    wiring.wire->conductor.edition = option.edition;
            }
        }
    }
    return faults;
}

Exit act(const CircuitOption& option, Shell& shell) {
    const Instant now = system_now();
    auto loaded = io::load_household(site_path(option.site), now);
    if (!loaded.ok()) {
        print_faults(shell, loaded.faults(), option.site.json);
        return Exit::refused;
    }
    io::Household house = std::move(loaded).value();
    CircuitAnswer answer;
    std::vector<std::size_t> points;
    io::Faults faults = choose(option, house, points);
    VoltAmperes added;
    const io::Faults more = add_wanted(option, house, answer, added);
    if (option.questions && option.site.json)
        faults.push_back(option_fault("--questions", "is a page for people", "", "without --json",
                                      "leave one of them out"));
    faults.insert(faults.end(), more.begin(), more.end());
    auto data = read_data(house);
    if (!data.ok()) faults.insert(faults.end(), data.faults().begin(), data.faults().end());
    if (!faults.empty()) {
        print_faults(shell, faults, option.site.json);
        return exit_of(faults);
    }
    MeterData meters = std::move(data).value();
    meters.added = added;
    for (const std::size_t point : points) answer.points.push_back(advise(house, point, meters, now));
    answer.wiring = judge_wiring(house, now);
    if (option.site.json) {
        shell.out << circuit_json(house, answer) << '\n';
    } else {
        shell.out << (option.questions ? questions_text(house, answer) : circuit_text(house, answer));
    }
    return all_within(house, answer) ? Exit::done : Exit::refused;
}

}  // namespace

Command add_circuit(CLI::App& app) {
    auto option = std::make_shared<CircuitOption>();
    CLI::App* command = app.add_subcommand(
        "circuit", "What service, circuit and wire bear, and what the installer should set");
    add_site_option(*command, option->site);
    command->add_option("--point", option->point, "Only this supply point. Without it: each of them.");
    command->add_option("--edition", option->edition,
                        "Another edition of the code than the site file's, such as 2026.");
    command
        ->add_option("--with", option->with,
                     "A load to come, such as 'heat pump 40 A' or 'hot tub 8 kW'; may be repeated.")
        ->take_all();
    command->add_flag("--questions", option->questions, "One page to take to the electrician instead.");
    command->footer(
        "Nothing here counts on Lullwatt: each figure is what may be set with no load management at all.\n"
        "Exit status: 0 all within, 1 faults, a setting above what may be set, or a wire that does not "
        "suit.\n"
        "Example:\n  lullwatt circuit --site config/harbour-row-9/site.yaml --with 'hot tub 8 kW'");
    return {command, [option](Shell& shell) { return act(*option, shell); }};
}

}  // namespace lullwatt::tools
