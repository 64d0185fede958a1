#include <algorithm>
#include <memory>
#include <ostream>
#include <utility>

#include <CLI/CLI.hpp>

#include "io/csv/interval_csv.hpp"
#include "io/file/file.hpp"
#include "io/greenbutton/greenbutton.hpp"
#include "io/history/history.hpp"
#include "io/settings/site_file.hpp"
#include "io/zone/zone.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/import_options.hpp"
#include "tools/lullwatt/import_text.hpp"

namespace lullwatt::tools {
namespace {

using namespace std::chrono_literals;

// Meter data older than this is of no house that still stands as it was.
constexpr date::years kOldest{30};
constexpr Seconds kLongestInterval = 1h;

// Where the readings go, and the clock the house lives by; the zone is empty where no site says so.
struct Destination {
    std::filesystem::path folder;
    std::string zone;
};

// The folder of the site's history file of that meter; else `history` beside the site file.
std::filesystem::path history_folder(const io::SiteFile& site, const std::string& meter) {
    for (const auto& load : site.loads) {
        if (load && load->history && load->history->stem() == meter) return load->history->parent_path();
    }
    return site.file.parent_path() / "history";
}

io::Read<Destination> destination(const ImportOptions& options) {
    if (!options.into.empty()) return Destination{options.into, ""};
    const auto site = io::read_site_file(site_path(options.site));
    if (!site.ok()) return site.faults();
    return Destination{history_folder(site.value(), options.meter), site.value().zone};
}

io::Read<Zone> zone_of(const std::string& name) {
    const Instant now = system_now();
    const Seconds oldest = std::chrono::duration_cast<Seconds>(kOldest);
    return io::load_zone(name, {now - oldest, now + date::days{366}}, now);
}

io::Read<Imported> from_table(const ImportOptions& options, const std::string& text,
                              const Destination& destination, Shell& shell) {
    const auto table = table_map(options, text, destination.zone, shell);
    if (!table.ok()) return table.faults();
    io::Read<Zone> clock = table.value().zone.empty() ? io::Read<Zone>(Zone::fixed(table.value().offset))
                                                      : zone_of(table.value().zone);
    if (!clock.ok()) return clock.faults();
    auto read = io::read_interval_csv(text, options.file, table.value().map, clock.value());
    if (!read.ok()) return read.faults();
    io::IntervalTable held = std::move(read).value();
    return Imported{std::move(held.history), std::move(held.warnings), {}, std::move(clock).value()};
}

// What a table alone needs; none of it says anything about a Green Button file.
io::Faults table_options(const ImportOptions& options) {
    io::Faults faults;
    const auto refuse = [&](bool given, const char* option) {
        if (!given) return;
        faults.push_back({options.file, 0, 0, option, "is for tables, and this is a Green Button file", "",
                          "", "leave it out"});
    };
    refuse(!options.label.empty(), "--label");
    refuse(!options.unit.empty(), "--unit");
    refuse(options.is_register, "--register");
    refuse(!options.time_columns.empty(), "--time-column");
    refuse(!options.reading_columns.empty(), "--reading-column");
    refuse(!options.time_format.empty(), "--time-format");
    refuse(!options.delimiter.empty(), "--delimiter");
    refuse(options.register_digits.has_value(), "--register-digits");
    refuse(options.interval_seconds.has_value(), "--interval");
    refuse(options.no_header, "--no-header");
    refuse(options.net, "--net");
    return faults;
}

// The faults of every meter where none can be read: naming one of them would help nobody.
io::Faults all_without_readings(const io::GreenButtonFile& feed) {
    io::Faults faults;
    for (const io::GreenButtonMeter& meter : feed.meters) {
        if (meter.series.ok()) return {};
        faults.insert(faults.end(), meter.series.faults().begin(), meter.series.faults().end());
    }
    return faults;
}

// By which clock a Green Button file is shown: what is asked for, the site's, the file's own, or UTC.
io::Read<Zone> display_clock(const ImportOptions& options, const Destination& destination,
                             const io::GreenButtonMeter& meter) {
    const std::string& zone = options.zone.empty() ? destination.zone : options.zone;
    if (const auto offset = parse_offset(options.offset)) return Zone::fixed(*offset);
    if (!zone.empty()) return zone_of(zone);
    return Zone::fixed(meter.local_time ? meter.local_time->standard_offset : 0s);
}

io::Read<Imported> from_green_button(const ImportOptions& options, const std::string& text,
                                     const Destination& destination) {
    const auto feed = io::parse_green_button(text, options.file);
    if (!feed.ok()) return feed.faults();
    if (auto faults = all_without_readings(feed.value()); !faults.empty()) return faults;
    if (auto faults = table_options(options); !faults.empty()) return faults;
    const auto chosen =
        io::choose_meter(feed.value(), options.file,
                         options.usage_point.empty() ? std::nullopt : std::optional(options.usage_point));
    if (!chosen.ok()) return chosen.faults();
    const io::GreenButtonMeter& meter = feed.value().meters[chosen.value()];
    if (!meter.series.ok()) return meter.series.faults();
    const io::MeterSeries& series = meter.series.value();
    const auto refused = [&](std::string what, std::string mend) {
        return io::Faults{
            {options.file, 0, 0, "", std::move(what), meter.meter_reading, "", std::move(mend)}};
    };
    if (series.flow == io::Flow::received) {
        return refused("counts energy from the house, which is no load of it",
                       "name the meter that counts to the house");
    }
    if (series.interval > kLongestInterval) {
        return refused("has intervals too long to say anything of the time of day",
                       "ask the utility for finer data");
    }
    if (series.kept.empty()) return refused("has no reading that can be kept", "ask for another file");
    auto clock = display_clock(options, destination, meter);
    if (!clock.ok()) return clock.faults();
    Imported imported{{}, feed.value().warnings, series.kept_out, std::move(clock).value()};
    imported.warnings.insert(imported.warnings.end(), series.warnings.begin(), series.warnings.end());
    for (const EnergyReading& reading : series.kept) {
        imported.history.rows.push_back({reading.when, {reading.energy}, reading.quality});
    }
    return imported;
}

bool is_xml(const std::string& text) {
    const auto first = text.find_first_not_of("\xEF\xBB\xBF \t\r\n");
    return first != text.npos && text[first] == '<';
}

// Whoever is asked has seen the first day.
bool agreed(Shell& shell) {
    if (!shell.interactive) return true;
    const auto answer = ask(shell, "Keep these readings: yes or no? ");
    return answer && (*answer == "yes" || *answer == "y");
}

Exit keep(const ImportOptions& options, const Destination& destination, Imported imported, Shell& shell) {
    imported.history.meter = options.meter;
    const bool json = options.site.json;
    if (!json) {
        for (const io::Fault& warning : imported.warnings) shell.err << io::text(warning) << '\n';
        shell.out << imported_text(imported) << '\n';
    }
    const bool write = !options.dry_run && (json || agreed(shell));
    const auto kept = write ? io::keep_history(destination.folder, imported.history)
                            : io::try_history(destination.folder, imported.history);
    if (!kept.ok()) {
        print_faults(shell, kept.faults(), json);
        return Exit::refused;
    }
    const auto file = destination.folder / (options.meter + ".csv");
    const auto& [merged, written] = kept.value();
    shell.out << (json ? imported_json(imported, merged, file, written) + "\n"
                       : kept_text(merged, file, written));
    return Exit::done;
}

Exit act(const ImportOptions& options, Shell& shell) {
    const auto refuse = [&](const io::Faults& faults) {
        print_faults(shell, faults, options.site.json);
        const auto is_option = [](const io::Fault& fault) { return fault.key.starts_with("--"); };
        return std::ranges::all_of(faults, is_option) ? Exit::usage : Exit::refused;
    };
    const auto text = io::read_whole_file(options.file, io::kLargestGreenButtonFile);
    if (!text.ok()) return refuse(text.faults());
    if (const auto binary = io::why_no_text(text.value(), options.file)) return refuse({*binary});
    if (!io::is_meter_name(options.meter)) {
        return refuse({{options.file, 0, 0, "--meter", "is not a meter's name", options.meter,
                        "1 to 40 of a-z, 0-9 and '-', not '-' first", ""}});
    }
    const auto where = destination(options);
    if (!where.ok()) return refuse(where.faults());
    auto imported = is_xml(text.value()) ? from_green_button(options, text.value(), where.value())
                                         : from_table(options, text.value(), where.value(), shell);
    if (!imported.ok()) return refuse(imported.faults());
    return keep(options, where.value(), std::move(imported).value(), shell);
}

}  // namespace

Command add_import(CLI::App& app) {
    auto options = std::make_shared<ImportOptions>();
    CLI::App* command = app.add_subcommand("import", "Read a meter's data into the site's history");
    add_import_options(*command, *options);
    command->footer(
        "Readings that are held already are never changed.\n\n"
        "Examples:\n"
        "  lullwatt import usage.xml --meter house\n"
        "  lullwatt import usage.csv --meter house --time-column Date --time-column Time --reading-column "
        "kWh\n"
        "      --unit kWh --label start --zone America/Halifax");
    return {command, [options](Shell& shell) { return act(*options, shell); }};
}

}  // namespace lullwatt::tools
