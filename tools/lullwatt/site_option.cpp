#include "tools/lullwatt/site_option.hpp"

#include <chrono>
#include <cstdlib>
#include <ostream>

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

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

void print_faults(Shell& shell, const io::Faults& faults, bool json) {
    if (!json) {
        for (const io::Fault& fault : faults) shell.err << io::text(fault) << '\n';
        return;
    }
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const io::Fault& fault : faults) {
        list.push_back({{"file", fault.file},
                        {"line", fault.line},
                        {"column", fault.column},
                        {"key", fault.key},
                        {"value", fault.value},
                        {"fault", fault.what},
                        {"allowed", fault.allowed},
                        {"mend", fault.mend}});
    }
    shell.out << nlohmann::ordered_json{{"faults", list}}.dump(2) << '\n';
}

}  // namespace lullwatt::tools
