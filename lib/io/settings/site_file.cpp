#include "io/settings/site_file.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "core/quantity/money.hpp"
#include "io/settings/currency.hpp"
#include "io/settings/days.hpp"
#include "io/settings/site_table.hpp"
#include "io/settings/site_tree.hpp"

namespace lullwatt::io {
namespace {

constexpr std::array<std::string_view, 3> kPreferences = {"early", "late", "gentle"};

std::vector<vehicle::Habit> read_habits(const Section& car, Faults& faults) {
    std::vector<vehicle::Habit> habits;
    std::array<bool, 7> taken{};
    for (const Section& section : car.sections("habits")) {
        check_before_midnight(section, "leaves", faults);
        if (!section.has("leaves") || !section.has("returns") || !section.has("distance")) continue;
        const vehicle::Habit habit{read_days(section), section.get<Seconds>("leaves"),
                                   section.get<Seconds>("returns"), section.get<Kilometres>("distance")};
        if (habit.returns <= habit.leaves) {
            faults.push_back(
                section.fault("returns", "is not after 'leaves'", "a later time of the same day", ""));
        }
        bool twice = false;
        for (std::size_t day = 0; day < taken.size(); ++day) {
            twice |= taken[day] && habit.days[day];
            taken[day] |= habit.days[day];
        }
        if (twice) {
            faults.push_back(section.fault("days", "has a day that a habit above it has too", "each day once",
                                           "leave the day to one of them"));
        }
        check_not_empty(section, "days", "at least one day", "name the days", faults);
        habits.push_back(habit);
    }
    if (!habits.empty() && !car.has("consumption")) {
        faults.push_back(car.fault("habits", "need the car's consumption to become energy",
                                   "consumption beside them",
                                   "add 'consumption: 18 kWh/100km' with the car's own figure"));
    }
    return habits;
}

vehicle::Need read_need(const Section& section) {
    if (const auto* energy = section.find<WattHours>("need")) return vehicle::RegisterEnergy{*energy};
    vehicle::Fill fill;
    if (const auto* arrival = section.find<Percent>("arrival"))
        fill.arrival = StateOfCharge{arrival->percent};
    return fill;
}

std::vector<vehicle::TaperStep> read_taper(const Section& car, Faults& faults) {
    std::vector<vehicle::TaperStep> steps;
    for (const Section& section : car.sections("taper")) {
        if (!section.has("from") || !section.has("most")) continue;
        const vehicle::TaperStep step{{section.get<Percent>("from").percent}, section.get<WholeAmps>("most")};
        if (!steps.empty() && step.from <= steps.back().from) {
            faults.push_back(section.fault("from", "is not above the step before it",
                                           fmt::format("above {:g} %", steps.back().from.percent),
                                           "order the steps by state of charge"));
        }
        if (!steps.empty() && step.most >= steps.back().most) {
            faults.push_back(section.fault("most", "is not below the step before it",
                                           fmt::format("below {} A", steps.back().most.count()),
                                           "a battery takes less the fuller it is"));
        }
        if (const auto most = car.get<WholeAmps>("most"); steps.empty() && step.most > most)
            faults.push_back(section.fault("most", "is above the most the car takes at all",
                                           fmt::format("at most {} A", most.count()), "correct one of them"));
        steps.push_back(step);
    }
    return steps;
}

// The usual 0.90 counts what the control electronics take as well.
void check_overhead(const Section& section, const vehicle::Car& car, Faults& faults) {
    if (car.overhead == Watts(0) || section.stated("efficiency")) return;
    faults.push_back(
        section.fault("overhead", "would be counted twice: the usual efficiency of 0.90 holds it too",
                      "an efficiency beside it",
                      "add 'efficiency: 0.94' with the charger's own figure, 0.93 to 0.95 for most"));
}

// A register counts what the charger loses too, so a battery takes more from it than it holds.
void check_fits_battery(const Section& section, std::string_view key, const vehicle::Car& car,
                        Faults& faults) {
    const auto* energy = section.find<WattHours>(key);
    const auto whole = vehicle::energy_at_register(car, vehicle::ChargeRange{{0}, {100}});
    if (energy == nullptr || MilliwattHours(*energy) <= *whole) return;
    faults.push_back(
        section.fault(key, "is more than an empty battery takes",
                      fmt::format("at most {} kWh at the register, {} kWh divided by the efficiency {:g}",
                                  decimal_text(whole->count() / 100'000, 1),
                                  decimal_text(car.battery.count(), 3), car.efficiency),
                      "correct it, or the battery"));
}

std::optional<CarSettings> read_car(const Section& section, const SiteFile& site, Faults& faults) {
    const bool twice = section.has("name") && std::ranges::any_of(site.cars, [&](const CarSettings& other) {
                           return other.car.name == section.get<std::string>("name");
                       });
    if (twice)
        faults.push_back(
            section.fault("name", "is used twice", "a name of its own", "rename one of the two"));
    std::vector<std::string> points;
    for (const auto& point : site.site.points) points.push_back(point.name);
    const auto point = read_reference(section, "point", points, "point", faults);
    for (const std::string_view key : {"name", "battery", "most", "legs", "minimum", "efficiency", "overhead",
                                       "wakes", "floor", "ready_by", "preference"}) {
        if (!section.has(key)) return std::nullopt;
    }
    if (!point) return std::nullopt;
    CarSettings car;
    car.point = *point;
    car.car = {.name = section.get<std::string>("name"),
               .battery = section.get<WattHours>("battery"),
               .most = section.get<WholeAmps>("most"),
               .legs = static_cast<int>(section.get<long long>("legs")),
               .efficiency = section.get<double>("efficiency"),
               .minimum = section.get<WholeAmps>("minimum"),
               .overhead = Watts(std::round(section.get<Watts>("overhead").count())),
               .taper = read_taper(section, faults),
               .wakes = section.get<bool>("wakes")};
    if (section.has("consumption")) car.car.per_100_km = section.get<WattHours>("consumption");
    if (car.car.minimum > car.car.most) {
        faults.push_back(section.fault("minimum", "is above the most the car takes",
                                       fmt::format("at most {} A", car.car.most.count()),
                                       "correct one of them"));
    }
    // IEC 61851-1, SAE J1772: duty 85 % is 51 A by one formula and 52.5 A by the other; the pilot has nothing
    // between.
    if (car.car.most == WholeAmps(52)) {
        faults.push_back(section.fault("most", "does not exist on the control pilot",
                                       "51 A, or 53 A and more", "write 51 A"));
    }
    check_overhead(section, car.car, faults);
    if (section.has("price_cap")) car.price_cap = section.get<Rate>("price_cap");
    check_before_midnight(section, "ready_by", faults);
    check_fits_battery(section, "need", car.car, faults);
    check_fits_battery(section, "floor", car.car, faults);
    car.need = read_need(section);
    car.floor = section.get<WattHours>("floor");
    car.ready_by = section.get<Seconds>("ready_by");
    const auto preference = std::ranges::find(kPreferences, section.get<std::string>("preference"));
    car.preference = static_cast<plan::Preference>(preference - kPreferences.begin());
    car.habits = read_habits(section, faults);
    return car;
}

site::LegAmps on_legs(Amps current, site::Legs legs) {
    site::LegAmps amps{};
    for (const site::Leg leg : site::kLegs) {
        if (legs.has(leg)) amps[static_cast<std::size_t>(leg)] = current;
    }
    return amps;
}

site::LoadProfile read_profile(const Section& section, site::Legs legs, Faults& faults) {
    site::LoadProfile profile;
    for (const Section& step : section.sections("profile")) {
        check_before_midnight(step, "from", faults);
        if (!step.has("days") || !step.has("from") || !step.has("current")) continue;
        auto& day = step.get<std::string>("days") == "weekday" ? profile.weekday : profile.rest_day;
        const auto from = std::chrono::duration_cast<std::chrono::minutes>(step.get<Seconds>("from"));
        if (day.empty() ? from != std::chrono::minutes{0} : from <= day.back().from) {
            faults.push_back(step.fault("from", "is out of order",
                                        "the first of each kind of day at 00:00, then later ones",
                                        "put the steps in order"));
        }
        day.push_back({from, on_legs(step.get<Amps>("current"), legs)});
    }
    if (profile.weekday.empty() || profile.rest_day.empty()) {
        faults.push_back(section.fault("profile", "lacks steps for one kind of day",
                                       "steps for weekday and for rest-day",
                                       "add them; they may be the same"));
    }
    return profile;
}

// A house that draws more than its service bears is a wrong figure or a service to be mended, never one to
// plan on.
void check_bearable(const Section& section, std::string_view key, const site::Node& node, Faults& faults) {
    const auto* current = section.find<Amps>(key);
    if (current == nullptr || node.rating <= Amps(0) || *current <= node.rating) return;
    faults.push_back(section.fault(
        key, fmt::format("is above the rating of {}", node.name),
        fmt::format("at most {:g} A", node.rating.count()),
        "look at both figures again; if both are right, this supply is too small for the house"));
}

// `by_dwelling`: the load calculation that the described dwelling gives this node, where it gives one.
LoadSettings read_load(const Section& section, const site::Node& node, const std::filesystem::path& folder,
                       const std::optional<site::LegAmps>& by_dwelling, Faults& faults) {
    LoadSettings load;
    const int sources = section.stated("history") + section.stated("constant") + section.stated("profile");
    if (sources != 1) {
        faults.push_back(section.fault("", "has not exactly one source", "history, constant or profile",
                                       "keep one of them"));
    }
    if (section.has("history")) load.history = folder / section.get<std::string>("history");
    if (section.has("constant"))
        load.expected = site::ConstantLoad{on_legs(section.get<Amps>("constant"), node.legs)};
    if (section.stated("profile")) load.expected = read_profile(section, node.legs, faults);
    for (const Section& largest : section.sections("largest")) {
        if (!largest.has("name") || !largest.has("current")) continue;
        const site::Legs legs = read_legs(largest, node.legs, faults);
        if (!legs.within(node.legs)) {
            faults.push_back(
                largest.fault("legs", fmt::format("has a leg that {} has not", node.name), "", ""));
        }
        check_bearable(largest, "current", node, faults);
        load.largest.push_back(
            {largest.get<std::string>("name"), on_legs(largest.get<Amps>("current"), legs)});
    }
    if (section.stated("worst") != section.stated("worst_reason")) {
        faults.push_back(
            section.fault(section.stated("worst") ? "worst" : "worst_reason",
                          section.stated("worst") ? "is stated without its reason" : "stands without 'worst'",
                          "worst and worst_reason together", "add the other"));
    } else if (section.has("worst") && section.has("worst_reason")) {
        load.stated_worst = site::StatedWorst{on_legs(section.get<Amps>("worst"), node.legs),
                                              section.get<std::string>("worst_reason")};
    }
    check_bearable(section, "worst", node, faults);
    check_bearable(section, "calculation", node, faults);
    if (section.has("calculation")) load.calculation = on_legs(section.get<Amps>("calculation"), node.legs);
    if (!section.stated("calculation") && by_dwelling) load.calculation = *by_dwelling;
    if (!section.stated("history") && !section.stated("worst") && !section.stated("calculation") &&
        !by_dwelling) {
        faults.push_back(
            section.fault("", "gives no worst load, on which every fail-safe figure rests",
                          "history of twelve months, worst with worst_reason, calculation, or a dwelling",
                          "import meter data, or add the load calculation's result"));
    }
    if (section.has("quantile")) load.quantile = section.get<double>("quantile");
    if (section.has("worst_leg_share")) load.worst_leg_share = section.get<double>("worst_leg_share");
    return load;
}

void read_loads(const Section& file, const std::filesystem::path& folder, SiteFile& site, Faults& faults) {
    site.loads.resize(site.site.nodes.size());
    std::vector<std::string> nodes;
    for (const auto& node : site.site.nodes) nodes.push_back(node.name);
    for (const Section& section : file.sections("loads")) {
        const auto node = read_reference(section, "node", nodes, "node", faults);
        if (!node) continue;
        if (site.loads[*node]) {
            faults.push_back(
                section.fault("node", "has a load already", "one entry per node", "put them together"));
        }
        if (site.site.nodes[*node].kind == site::NodeKind::circuit &&
            site.site.nodes[*node].continuous.share == 1.0) {
            faults.push_back(section.fault(
                "node", "is a circuit sized for the equipment's full current, so dedicated to it",
                "a circuit at 80 %", "remove this load, or sized_for_full_current"));
        }
        const bool described = *node == 0 && site.dwelling;
        const auto by_dwelling = described ? demand_without_cars(*site.dwelling, site.site) : std::nullopt;
        site.loads[*node] = read_load(section, site.site.nodes[*node], folder, by_dwelling, faults);
    }
    // Silence is a fault of a whole file only: not where the service or an entry could not be read at all.
    const auto& entries = file.sections("loads");
    const bool whole = file.stated("loads") && !file.sections("service").empty() &&
                       std::ranges::all_of(entries, [](const Section& entry) { return entry.has("node"); });
    if (whole && !site.loads[0]) {
        faults.push_back(file.fault("loads", "says nothing of the service: no house draws nothing",
                                    fmt::format("an entry for {}", nodes[0]),
                                    "add one with history, profile or constant"));
    }
}

void read_head(const Section& file, SiteFile& site, Faults& faults) {
    for (const Section& head : file.sections("site")) {
        if (const auto* name = head.find<std::string>("name")) site.name = *name;
        if (const auto* zone = head.find<std::string>("zone")) site.zone = *zone;
        site.clock = read_clock(head);
        if (const auto* currency = head.find<std::string>("currency")) {
            site.currency = *currency;
            if (const auto digits = minor_digits(*currency)) {
                site.currency_digits = *digits;
            } else {
                faults.push_back(currency_fault(head));
            }
        }
    }
}

// Nodes stand in the order of the file: the service, then feeders and circuits that have a name.
std::vector<Wiring> read_wirings(const Section& file, const site::Site& site, int edition, Faults& faults) {
    std::vector<Wiring> wirings(1);
    for (const std::string_view key : {"feeders", "circuits"}) {
        for (const Section& section : file.sections(key)) {
            if (section.has("name"))
                wirings.push_back(read_wiring(section, site, site.nodes[wirings.size()], edition, faults));
        }
    }
    return wirings;
}

// A file that is named and cannot be had is told where it is named, beside all that is wrong there.
void check_there(const Section& section, std::string_view key, const std::filesystem::path& folder,
                 Faults& faults) {
    const auto* name = section.find<std::string>(key);
    if (name == nullptr) return;
    const std::filesystem::path file = folder / *name;
    std::error_code error;
    if (std::filesystem::is_regular_file(file, error)) return;
    const bool other = std::filesystem::exists(file, error);
    faults.push_back(section.fault(
        key,
        other ? "names a folder or a device" : fmt::format("names no file: there is no {}", file.string()),
        "a file, by its path from the folder of this one", "check the name and the folder"));
}

void check_files_there(const Section& site, const std::filesystem::path& folder, Faults& faults) {
    check_there(site, "tariff", folder, faults);
    for (const Section& contract : site.sections("contracts"))
        check_there(contract, "tariff", folder, faults);
    for (const Section& load : site.sections("loads")) check_there(load, "history", folder, faults);
    for (const Section& dwelling : site.sections("dwelling")) {
        for (const Section& measured : dwelling.sections("measured"))
            check_there(measured, "cars_history", folder, faults);
    }
}

Read<SiteFile> finish(ReadSection read, const std::filesystem::path& file,
                      const std::filesystem::path& folder) {
    Faults faults = std::move(read.faults);
    SiteFile site;
    site.file = file;
    read_head(read.section, site, faults);
    site.site = read_tree(read.section, faults);
    site.links = read_links(read.section, site.site, faults);
    site.simulation = read_simulation(read.section, site.site, site.links, faults);
    site.dwelling = read_dwelling(read.section, site.site, folder, faults);
    site.wiring = read_wirings(read.section, site.site, site.dwelling ? site.dwelling->edition : 0, faults);
    read_loads(read.section, folder, site, faults);
    for (const Section& section : read.section.sections("cars")) {
        if (auto car = read_car(section, site, faults)) site.cars.push_back(*std::move(car));
    }
    for (const CarSettings& car : site.cars) {
        int& fewest = site.site.points[car.point].fewest_car_legs;
        fewest = std::min(fewest, car.car.legs);
    }
    if (read.section.stated("cars") && read.section.sections("cars").empty()) {
        faults.push_back(read.section.fault("cars", "is an empty list", "at least one car", "add it"));
    }
    site.contracts = read_contracts(read.section, site.site, folder, faults);
    if (faults.empty()) check_all_billed(read.section, site.site, site.contracts, faults);
    for (const Section& options : read.section.sections("options")) {
        if (const auto* cost = options.find<Money>("start_cost")) site.start_cost = *cost;
    }
    site.as_written = std::move(read.section);
    if (faults.empty()) return site;
    std::ranges::stable_sort(faults, {},
                             [](const Fault& fault) { return std::pair(fault.line, fault.column); });
    return faults;
}

}  // namespace

Read<SiteFile> read_site_file(const std::filesystem::path& file) {
    ReadSection read = read_file(file, kSiteTable);
    check_files_there(read.section, file.parent_path(), read.faults);
    return finish(std::move(read), file, file.parent_path());
}

Read<SiteFile> read_site_text(const std::string& text, const std::string& name,
                              const std::filesystem::path& folder) {
    return finish(read_text(text, name, kSiteTable), name, folder);
}

}  // namespace lullwatt::io
