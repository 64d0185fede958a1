#include <algorithm>
#include <array>
#include <memory>
#include <ostream>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "io/history/history.hpp"
#include "io/settings/scalar.hpp"
#include "tools/lullwatt/circuit_text.hpp"
#include "tools/lullwatt/command.hpp"
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

io::Fault option_fault(std::string option, std::string what, std::string value, std::string allowed,
                       std::string mend) {
    return {kCommandLine,   0, 0, std::move(option), std::move(what), std::move(value), std::move(allowed),
            std::move(mend)};
}

// What a load is taken for, by its name.
struct Known {
    std::string_view word;
    std::optional<circuit::ClimateKind> climate;
    circuit::ApplianceKind appliance = circuit::ApplianceKind::fixed;
    std::string_view taken;
};
constexpr std::array kKnown = {
    Known{"heat pump", circuit::ClimateKind::heat_pump, {}, "a heat pump"},
    Known{"air condition", circuit::ClimateKind::air_conditioning, {}, "air conditioning"},
    Known{"baseboard", circuit::ClimateKind::separate_heaters, {}, "separate heaters with one control"},
    Known{"furnace", circuit::ClimateKind::central_heat, {}, "central heat"},
    Known{"tankless", {}, circuit::ApplianceKind::tankless_water_heater, "a tankless water heater"},
    Known{"water heater", {}, circuit::ApplianceKind::water_heater, "a water heater with a tank"},
    Known{"range", {}, circuit::ApplianceKind::range, "a range"},
    Known{"dryer", {}, circuit::ApplianceKind::dryer, "a dryer"},
    Known{"hot tub", {}, circuit::ApplianceKind::pool_or_spa, "a pool or spa heater"},
    Known{"spa", {}, circuit::ApplianceKind::pool_or_spa, "a pool or spa heater"},
    Known{"pool", {}, circuit::ApplianceKind::pool_or_spa, "a pool or spa heater"},
};

struct Wanted {
    std::string name;
    std::string figure;
};

// "heat pump 40 A": the figure begins at the last number.
std::optional<Wanted> split(const std::string& text) {
    for (std::size_t at = text.find(' '); at != text.npos; at = text.find(' ', at + 1)) {
        const std::string rest = text.substr(at + 1);
        if (!rest.empty() && rest.front() >= '0' && rest.front() <= '9')
            return Wanted{text.substr(0, at), rest};
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
    const auto known = std::ranges::find_if(
        kKnown, [&](const Known& one) { return wanted.name.find(one.word) != std::string::npos; });
    const std::string words =
        fmt::format("with {}: {:.0f} VA, taken for {}", wanted.name, power.count(),
                    known == kKnown.end() ? "an appliance on its own circuit" : known->taken);
    if (known != kKnown.end() && known->climate) {
        dwelling.dwelling.climate.push_back(
            {.name = wanted.name,
             .kind = *known->climate,
             .power = power,
             .motor = *known->climate == circuit::ClimateKind::heat_pump ||
                      *known->climate == circuit::ClimateKind::air_conditioning});
        dwelling.adds_climate = true;
        return words + (dwelling.code == circuit::Code::nec ? ", so heating or cooling is added" : "");
    }
    dwelling.dwelling.appliances.push_back(
        {wanted.name, known == kKnown.end() ? circuit::ApplianceKind::fixed : known->appliance, power});
    return words;
}

io::Faults add_wanted(const CircuitOption& option, io::Household& house, CircuitAnswer& answer) {
    io::Faults faults;
    if (option.with.empty()) return faults;
    if (!house.site.dwelling) {
        return {option_fault("--with", "needs a described dwelling to be added to", "",
                             "a site file with 'dwelling'",
                             "describe the house there (lullwatt setup --reference shows how)")};
    }
    io::DwellingSettings& dwelling = *house.site.dwelling;
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
            continue;
        }
        const int legs = house.site.site.nodes[0].legs.count();
        const bool amps = wanted->figure.ends_with(" A");
        const double each = power->count() / house.site.site.leg_to_neutral.count() / (amps ? 1 : legs);
        dwelling.household.push_back({{wanted->name, circuit::HouseholdUse::without_diversity, Amps(each)},
                                      house.site.site.nodes[0].legs});
        answer.added.push_back(
            fmt::format("with {}: {:.1f} A on each leg, without diversity", wanted->name, each));
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
        } else {
            house.site.dwelling->edition = option.edition;
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
    const io::Faults more = add_wanted(option, house, answer);
    faults.insert(faults.end(), more.begin(), more.end());
    const auto data = read_data(house);
    if (!data.ok()) faults.insert(faults.end(), data.faults().begin(), data.faults().end());
    if (!faults.empty()) {
        print_faults(shell, faults, option.site.json);
        return exit_of(faults);
    }
    for (const std::size_t point : points) answer.points.push_back(advise(house, point, data.value()));
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
