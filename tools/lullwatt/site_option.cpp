#include "tools/lullwatt/site_option.hpp"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ostream>

#include <CLI/CLI.hpp>
#include <date/date.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {

void add_site_option(CLI::App& app, SiteOption& option) {
    app.add_option("--site", option.site,
                   "The site file. Without it: $LULLWATT_SITE, else /etc/lullwatt/site.yaml.");
    app.add_flag("--json", option.json, "Answer as JSON.");
}

std::string site_path(const SiteOption& option) {
    if (!option.site.empty()) return option.site;
    const char* set = std::getenv("LULLWATT_SITE");
    return set != nullptr && *set != '\0' ? set : "/etc/lullwatt/site.yaml";
}

Instant system_now() { return std::chrono::floor<Seconds>(std::chrono::system_clock::now()); }

std::vector<std::string> old_data(const io::Household& household, Instant now) {
    constexpr date::days kFresh{45};  // ours: a meter's file is brought up to date at least every bill or two
    std::vector<std::string> lines;
    for (std::size_t node = 0; node < household.worst.size(); ++node) {
        const site::WorstLoad& worst = household.worst[node];
        if (worst.lack != site::HistoryLack::none || now - worst.months.end <= kFresh) continue;
        lines.push_back(
            fmt::format("OLD DATA: the meter data of {} ends on {}, {} days ago; import newer.",
                        household.site.site.nodes[node].name,
                        date_text(CivilDate{date::floor<date::days>(household.zone.civil(worst.months.end))}),
                        std::chrono::duration_cast<date::days>(now - worst.months.end).count()));
    }
    return lines;
}

Exit exit_of(const io::Faults& faults) {
    const bool typed =
        std::ranges::all_of(faults, [](const io::Fault& fault) { return fault.file == kCommandLine; });
    return typed ? Exit::usage : Exit::refused;
}

std::string faults_json(const io::Faults& faults) {
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const io::Fault& raw : faults) {
        const io::Fault fault = io::shown(raw);
        list.push_back({{"file", fault.file},
                        {"line", fault.line},
                        {"column", fault.column},
                        {"key", fault.key},
                        {"value", fault.value},
                        {"fault", fault.what},
                        {"allowed", fault.allowed},
                        {"mend", fault.mend}});
    }
    return list.dump();
}

void print_faults(Shell& shell, const io::Faults& faults, bool json) {
    if (json) {
        const auto list = nlohmann::ordered_json::parse(faults_json(faults));
        shell.out << nlohmann::ordered_json{{"faults", list}}.dump(2) << '\n';
        return;
    }
    for (const io::Fault& fault : faults) shell.err << io::text(fault) << '\n';
}

}  // namespace lullwatt::tools
