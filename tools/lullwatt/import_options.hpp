// What `lullwatt import` is told on the command line, and what it still has to ask.
//
// Plain values and functions over a Shell; one thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/time/zone.hpp"
#include "io/csv/interval_csv.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {

// As typed; empty where not given.
struct ImportOptions {
    std::string file;
    std::string meter;
    SiteOption site;
    std::string into;
    std::string usage_point;
    std::string label;
    std::string unit;
    bool is_register = false;
    std::optional<int> register_digits;
    std::vector<std::string> time_columns;
    std::vector<std::string> reading_columns;
    std::string time_format;
    std::string zone;
    std::string offset;
    std::string delimiter;
    std::string decimal = ".";
    bool no_header = false;
    bool net = false;
    std::optional<int> interval_seconds;
    bool dry_run = false;
};

void add_import_options(CLI::App& app, ImportOptions& options);

// A table needs more said than a Green Button file. What is missing is asked where somebody can answer.
struct TableMap {
    io::CsvMap map;
    std::string zone;   // of the labels; or
    Seconds offset{0};  // where zone is empty
};
// `text` is the table; `usual_zone` is offered as the answer to the clock. Faults name the option that is
// missing or wrong, all of them at once.
[[nodiscard]] io::Read<TableMap> table_map(const ImportOptions& options, const std::string& text,
                                           const std::string& usual_zone, Shell& shell);

// One line from whoever sits at the shell; empty when nobody does or the input ends.
[[nodiscard]] std::optional<std::string> ask(Shell& shell, const std::string& question);

// "+05:30", "-04:00", "Z".
[[nodiscard]] std::optional<Seconds> parse_offset(const std::string& text);

}  // namespace lullwatt::tools
