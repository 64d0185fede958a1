#include "tools/lullwatt/import_options.hpp"

#include <algorithm>
#include <charconv>
#include <istream>
#include <map>
#include <ostream>
#include <sstream>
#include <utility>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "io/csv/label.hpp"
#include "io/fault/printable.hpp"

namespace lullwatt::tools {
namespace {

const std::map<std::string, io::CsvUnit> kUnits = {{"kWh", io::CsvUnit::kilowatt_hours},
                                                   {"Wh", io::CsvUnit::watt_hours},
                                                   {"kW", io::CsvUnit::mean_kilowatts},
                                                   {"W", io::CsvUnit::mean_watts}};
const std::map<std::string, char> kDelimiters = {{",", ','}, {";", ';'}, {"tab", '\t'}};

io::CsvColumn column_of(const std::string& text) {
    std::size_t number = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error == std::errc{} && end == text.data() + text.size()) return number;
    return text;
}

// "L1=kWh on leg 1", or a column that holds the total.
io::CsvReadingColumn reading_of(const std::string& text) {
    for (const site::Leg leg : site::kLegs) {
        const std::string prefix = fmt::format("L{}=", static_cast<int>(leg) + 1);
        if (text.starts_with(prefix)) return {column_of(text.substr(prefix.size())), leg};
    }
    return {column_of(text), {}};
}

std::vector<std::string> split(const std::string& text) {
    std::vector<std::string> words;
    for (std::size_t begin = 0;;) {
        const auto end = text.find('+', begin);
        words.push_back(text.substr(begin, end - begin));
        if (end == text.npos) return words;
        begin = end + 1;
    }
}

// Settles one answer after the other; faults pile up.
class Mapping {
  public:
    Mapping(const ImportOptions& options, const std::string& text, Shell& shell)
        : options_(options), text_(text), shell_(shell) {}

    io::Read<TableMap> map(const std::string& usual_zone) {
        settle_delimiter();
        settle_columns();
        settle_unit();
        settle_label();
        settle_clock(usual_zone);
        table_.map.time_pattern = options_.time_format;
        table_.map.may_be_negative = options_.net;
        if (options_.interval_seconds) table_.map.interval = Seconds{*options_.interval_seconds};
        if (!faults_.empty()) return faults_;
        return table_;
    }

  private:
    // The option's text, or an answer to the question.
    std::string settle(const std::string& option, const std::string& given, const std::string& question,
                       const std::string& allowed) {
        if (!given.empty()) return given;
        if (const auto answer = ask(shell_, question)) return *answer;
        add(option, "is missing", "", allowed, "");
        return "";
    }

    void settle_delimiter() {
        table_.map.header = !options_.no_header;
        std::string given = options_.delimiter;
        if (given.empty()) given = only_delimiter();
        given = settle("--delimiter", given, "What stands between two columns: ',' or ';' or 'tab'? ",
                       "',', ';' or tab");
        const auto known = kDelimiters.find(given);
        if (known != kDelimiters.end()) table_.map.delimiter = known->second;
        if (known == kDelimiters.end() && !given.empty()) {
            add("--delimiter", "is no delimiter", given, "',', ';' or tab", "");
        }
        if (options_.decimal != "." && options_.decimal != ",") {
            add("--decimal", "is no decimal mark", options_.decimal, "'.' or ','", "");
        } else if (options_.decimal.front() == table_.map.delimiter) {
            add("--decimal", "is also the delimiter", options_.decimal, "another mark than the delimiter",
                "");
        } else {
            table_.map.decimal = options_.decimal.front();
        }
        headings_ = io::csv_headings(text_, table_.map.delimiter, table_.map.header);
    }

    // Where the first line holds only one of the three, it is that one.
    [[nodiscard]] std::string only_delimiter() const {
        const std::string first = text_.substr(0, text_.find('\n'));
        std::string found;
        for (const auto& [name, mark] : kDelimiters) {
            if (first.find(mark) == first.npos) continue;
            if (!found.empty()) return "";
            found = name;
        }
        return found;
    }

    void settle_columns() {
        const std::string columns = io::printable(fmt::format("{}", fmt::join(headings_, ", ")), 1000);
        std::vector<std::string> times = options_.time_columns;
        if (times.empty()) {
            const std::string answer =
                settle("--time-column", "",
                       "Columns: " + columns + "\nWhich one holds the time (two: date+time)? ", columns);
            if (!answer.empty()) times = split(answer);
        }
        for (const std::string& time : times) table_.map.time.push_back(column_of(time));
        std::vector<std::string> readings = options_.reading_columns;
        if (readings.empty()) {
            const std::string answer = settle(
                "--reading-column", "", "Which one holds the readings (legs: L1=first+L2=second)? ", columns);
            if (!answer.empty()) readings = split(answer);
        }
        for (const std::string& reading : readings) table_.map.readings.push_back(reading_of(reading));
        check_columns();
    }

    void check_columns() {
        if (table_.map.time.size() > 2) {
            add("--time-column", "is given too often", "", "one column, or date and time of day in two", "");
        }
        site::Legs legs;
        bool repeated = table_.map.readings.size() > 3;
        for (const io::CsvReadingColumn& reading : table_.map.readings) {
            repeated = repeated || (!reading.leg && table_.map.readings.size() > 1) ||
                       (reading.leg && legs.has(*reading.leg));
            if (reading.leg) legs = legs.with(*reading.leg);
        }
        if (repeated) {
            add("--reading-column", "is neither one total nor one column a leg", "",
                "COLUMN, or L1=COLUMN L2=COLUMN", "");
        }
    }

    void settle_unit() {
        const std::string unit = settle("--unit", options_.unit, "In what unit are they: kWh, Wh, kW or W? ",
                                        "kWh, Wh, kW (mean over the interval), W");
        const auto known = kUnits.find(unit);
        if (known != kUnits.end()) table_.map.unit = known->second;
        if (known == kUnits.end() && !unit.empty()) add("--unit", "is no unit", unit, "kWh, Wh, kW, W", "");
        table_.map.is_register = options_.is_register;
        table_.map.register_digits = options_.register_digits;
        const bool power = unit == "kW" || unit == "W";
        if (options_.is_register && power) add("--unit", "is no unit of a register", unit, "kWh, Wh", "");
        if (options_.register_digits && !options_.is_register) {
            add("--register-digits", "goes with --register only", std::to_string(*options_.register_digits),
                "", "");
        }
    }

    void settle_label() {
        if (options_.is_register) return;
        const std::string first_rows = first_lines(4);
        const std::string label =
            settle("--label", options_.label,
                   first_rows + "\nIs a row's time the start or the end of its interval: start or end? ",
                   "start, end (whether a row's time begins or ends its interval)");
        if (label == "start") table_.map.label = io::LabelMeans::start;
        if (label == "end") table_.map.label = io::LabelMeans::end;
        if (!table_.map.label && !label.empty()) add("--label", "is neither", label, "start, end", "");
    }

    [[nodiscard]] std::string first_lines(int lines) const {
        constexpr std::size_t kShown = 200;  // of a line: more says no more about its time
        std::string text;
        std::istringstream all(text_);
        for (std::string line; lines > 0 && std::getline(all, line); --lines) {
            if (line.ends_with('\r')) line.pop_back();
            text += (text.empty() ? "" : "\n") + io::printable(line, kShown);
        }
        return text;
    }

    void settle_clock(const std::string& usual_zone) {
        if (!options_.zone.empty() && !options_.offset.empty()) {
            add("--offset", "goes against --zone", options_.offset, "one of the two", "");
            return;
        }
        const std::string offered = usual_zone.empty() ? "America/Halifax" : usual_zone;
        const std::string clock =
            settle("--zone or --offset", options_.offset.empty() ? options_.zone : options_.offset,
                   "By which clock: a zone such as " + offered +
                       ", or a fixed offset such as -04:00, which summer does not "
                       "change? ",
                   "--zone " + offered + ", or --offset -04:00 where the meter's clock never changes");
        const auto offset = parse_offset(clock);
        if (offset) table_.offset = *offset;
        if (!offset && !options_.offset.empty()) {
            add("--offset", "is no offset from UTC", clock, "-14:00 to +14:00, or Z", "");
        }
        if (!offset) table_.zone = clock;
    }

    void add(const std::string& option, std::string what, std::string value, std::string allowed,
             std::string mend) {
        faults_.push_back({options_.file, 0, 0, option, std::move(what), std::move(value), std::move(allowed),
                           std::move(mend)});
    }

    const ImportOptions& options_;
    const std::string& text_;
    Shell& shell_;
    TableMap table_;
    std::vector<std::string> headings_;
    io::Faults faults_;
};

}  // namespace

void add_import_options(CLI::App& app, ImportOptions& options) {
    app.add_option("FILE", options.file, "A Green Button file (XML), or a table (CSV).")->required();
    app.add_option("--meter", options.meter, "Name the readings are kept under: a-z, 0-9 and '-'.")
        ->required();
    add_site_option(app, options.site);
    app.add_option("--into", options.into, "Keep them in this folder instead of the site's.");
    app.add_flag("--dry-run", options.dry_run, "Read and show; write nothing.");

    const std::string green = "Green Button files";
    app.add_option("--usage-point", options.usage_point, "Which meter of several: its link, or its title.")
        ->group(green);

    const std::string table = "Tables";
    app.add_option("--label", options.label, "Whether a row's time begins or ends its interval.")
        ->check(CLI::IsMember({"start", "end"}))
        ->group(table);
    app.add_option("--unit", options.unit, "Of the readings: energy of the interval, or mean power over it.")
        ->check(CLI::IsMember({"kWh", "Wh", "kW", "W"}))
        ->group(table);
    app.add_flag("--register", options.is_register,
                 "The readings count up; their differences are the energy.")
        ->group(table);
    app.add_option("--register-digits", options.register_digits,
                   "Digits before the point, after which it rolls over.")
        ->check(CLI::Range(1, 9))
        ->group(table);
    app.add_option("--time-column", options.time_columns,
                   "Heading or number; twice for date and time of day.")
        ->allow_extra_args(false)
        ->group(table);
    app.add_option("--reading-column", options.reading_columns,
                   "Heading or number of the total; or L1=… and L2=… and L3=….")
        ->allow_extra_args(false)
        ->group(table);
    app.add_option("--time-format", options.time_format,
                   "Pattern of the times, such as '%d.%m.%Y %H:%M'; else ISO 8601.")
        ->group(table);
    app.add_option("--zone", options.zone, "Zone of the times, such as America/Halifax.")->group(table);
    app.add_option("--offset", options.offset,
                   "Offset of a clock that never changes, such as -04:00; Z is UTC.")
        ->group(table);
    app.add_option("--delimiter", options.delimiter,
                   "',' or ';' or tab; found where the first line leaves no doubt.")
        ->group(table);
    app.add_option("--decimal", options.decimal, "The decimal mark, '.' or ','.")
        ->capture_default_str()
        ->group(table);
    app.add_flag("--no-header", options.no_header, "The first line is a reading, not headings.")
        ->group(table);
    app.add_flag("--net", options.net, "Readings are net of export and may be negative.")->group(table);
    app.add_option("--interval", options.interval_seconds,
                   "Seconds of an interval, where the times do not tell.")
        ->check(CLI::Range(1, 3600))
        ->group(table);
}

std::optional<std::string> ask(Shell& shell, const std::string& question) {
    if (!shell.interactive) return std::nullopt;
    shell.out << question << std::flush;
    std::string line;
    if (!std::getline(shell.in, line)) return std::nullopt;
    const auto end = line.find_last_not_of(" \t\r");
    line.erase(end == line.npos ? 0 : end + 1);
    line.erase(0, line.find_first_not_of(" \t"));
    return line;
}

std::optional<Seconds> parse_offset(const std::string& text) {
    const auto label = io::parse_iso_label("2000-01-01T00:00" + text);
    return label ? label->offset : std::nullopt;
}

io::Read<TableMap> table_map(const ImportOptions& options, const std::string& text,
                             const std::string& usual_zone, Shell& shell) {
    return Mapping(options, text, shell).map(usual_zone);
}

}  // namespace lullwatt::tools
