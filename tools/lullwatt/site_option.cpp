#include "tools/lullwatt/site_option.hpp"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ostream>

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include "tools/lullwatt/faults_json.hpp"
#include "tools/lullwatt/option_fault.hpp"

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

Exit exit_of(const io::Faults& faults) {
    const bool typed =
        std::ranges::all_of(faults, [](const io::Fault& fault) { return fault.file == kCommandLine; });
    return typed ? Exit::usage : Exit::refused;
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
