// A household's site file as one typed value, checked across all of its keys.
//
// A value; safe to read from any thread. What the file points at (tariff, meter history) is read elsewhere.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/plan/problem.hpp"
#include "core/site/forecast.hpp"
#include "core/site/site.hpp"
#include "core/site/worst_load.hpp"
#include "core/vehicle/car.hpp"
#include "core/vehicle/habit.hpp"
#include "io/fault/fault.hpp"
#include "io/settings/clock_choice.hpp"
#include "io/settings/contracts_section.hpp"
#include "io/settings/dwelling_section.hpp"
#include "io/settings/links_section.hpp"
#include "io/settings/section.hpp"
#include "io/settings/wiring_section.hpp"

namespace lullwatt::io {

// What is known of one node's load that is no car.
struct LoadSettings {
    std::optional<std::filesystem::path> history;
    std::variant<std::monostate, site::ConstantLoad, site::LoadProfile>
        expected;  // where there is no history
    std::vector<site::StatedLoad> largest;
    std::optional<site::StatedWorst> stated_worst;
    site::LegAmps calculation{};  // 0: none made
    double quantile = 0.95;
    double worst_leg_share = 0.65;
};

struct CarSettings {
    vehicle::Car car;
    std::size_t point = 0;  // index into Site::points
    vehicle::Need need;
    WattHours floor;
    std::optional<Rate> price_cap;
    Seconds ready_by{0};  // time of day, where no habit says otherwise
    plan::Preference preference = plan::Preference::early;
    std::vector<vehicle::Habit> habits;
};

struct SiteFile {
    std::filesystem::path file;
    std::string name;
    std::string zone;
    std::string currency;
    int currency_digits = 2;
    ClockChoice clock;
    site::Site site;
    std::vector<std::optional<LoadSettings>> loads;  // one per node; none: nothing but cars hangs on it
    std::vector<CarSettings> cars;
    std::optional<DwellingSettings> dwelling;
    std::vector<Wiring> wiring;       // one per node
    std::vector<Contract> contracts;  // at least one
    Links links;
    Simulation simulation;
    Money start_cost;
    Section as_written;  // for faults found later, by whoever knows more
};

// A tariff or a history that is named and not there is a fault at the key that names it.
[[nodiscard]] Read<SiteFile> read_site_file(const std::filesystem::path& file);
// The same from text, without a look at the other files; their names are taken to be of `folder`.
[[nodiscard]] Read<SiteFile> read_site_text(const std::string& text, const std::string& name,
                                            const std::filesystem::path& folder);

}  // namespace lullwatt::io
