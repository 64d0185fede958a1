// The options every question about a house shares, and the house they lead to.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "io/household/household.hpp"
#include "tools/lullwatt/command.hpp"

namespace lullwatt::tools {

struct SiteOption {
    std::string site;  // --site; else $LULLWATT_SITE; else /etc/lullwatt/site.yaml
    bool json = false;
};

void add_site_option(CLI::App& app, SiteOption& option);

// The file the option leads to.
[[nodiscard]] std::string site_path(const SiteOption& option);

// The system's clock, to the second. The only place where the command line asks it.
[[nodiscard]] Instant system_now();

// 2 where only the command line is at fault, else 1.
[[nodiscard]] Exit exit_of(const io::Faults& faults);

// Prints faults, one a line, to `shell.err`, or as JSON to `shell.out`.
void print_faults(Shell& shell, const io::Faults& faults, bool json);

}  // namespace lullwatt::tools
