#include "tools/lullwatt/import_text.hpp"

#include <algorithm>
#include <chrono>
#include <iterator>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "core/quantity/money.hpp"
#include "io/csv/label.hpp"
#include "io/fault/printable.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

using namespace std::chrono_literals;

constexpr std::size_t kDisagreementsShown = 20;

struct Sums {
    MilliwattHours energy;
    Watts greatest_mean;
    Seconds covered{0};
    std::size_t gaps = 0;
    Seconds missing{0};
};

void add(Sums& sums, const site::HistoryRow& row) {
    const MilliwattHours energy = site::total(row);
    sums.energy += energy;
    sums.greatest_mean = std::max(sums.greatest_mean, mean_power({row.when, energy, row.quality}));
    sums.covered += row.when.length();
}

Sums sums_of(const std::vector<site::HistoryRow>& rows) {
    Sums sums;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        add(sums, rows[i]);
        if (i == 0 || rows[i].when.begin == rows[i - 1].when.end) continue;
        ++sums.gaps;
        sums.missing += rows[i].when.begin - rows[i - 1].when.end;
    }
    return sums;
}

std::string kilowatt_hours(MilliwattHours energy) {
    return fmt::format("{:.3f} kWh", static_cast<double>(energy.count()) / 1e6);
}

std::string kilowatts(Watts power) { return fmt::format("{:.2f} kW", power.count() / 1000); }

std::string duration(Seconds length) {
    if (length % 1h == 0s) return fmt::format("{} h", length / 1h);
    if (length % 1min == 0s) return fmt::format("{} min", length / 1min);
    return fmt::format("{} s", length.count());
}

struct Hour {
    Instant begin;
    Sums sums;
};

// The first day by the clock, in the hours its readings begin in.
std::vector<Hour> first_day(const Imported& imported) {
    const auto& rows = imported.history.rows;
    const CivilDate date{date::floor<date::days>(imported.clock.civil(rows.front().when.begin))};
    const Interval day = civil_day(imported.clock, date);
    std::vector<Hour> hours;
    for (const site::HistoryRow& row : rows) {
        if (row.when.begin >= day.end) break;
        const Seconds of_hour{(row.when.begin - day.begin) % 1h};
        const Instant begin = row.when.begin - of_hour;
        if (hours.empty() || hours.back().begin != begin) hours.push_back({begin, {}});
        add(hours.back().sums, row);
    }
    return hours;
}

// The length most readings have.
Seconds usual_length(const std::vector<site::HistoryRow>& rows) {
    const std::size_t middle = rows.size() / 2;
    std::vector<Seconds> lengths;
    lengths.reserve(rows.size());
    for (const site::HistoryRow& row : rows) lengths.push_back(row.when.length());
    std::nth_element(lengths.begin(), lengths.begin() + static_cast<std::ptrdiff_t>(middle), lengths.end());
    return lengths[middle];
}

std::string kept_out_text(const std::vector<io::KeptOut>& kept_out) {
    if (kept_out.empty()) return "";
    MilliwattHours energy;
    for (const io::KeptOut& reading : kept_out) energy += reading.energy;
    return fmt::format("Kept out, each told: {} readings, {}.\n", kept_out.size(), kilowatt_hours(energy));
}

std::string offered_text(const site::Disagreement& disagreement) {
    return fmt::format("  {}: held {}, offered {}", io::utc_text(disagreement.offered.when.begin),
                       kilowatt_hours(site::total(disagreement.held)),
                       kilowatt_hours(site::total(disagreement.offered)));
}

}  // namespace

std::string imported_text(const Imported& imported) {
    const auto& rows = imported.history.rows;
    const std::vector<Hour> hours = first_day(imported);
    const CivilDate date{date::floor<date::days>(imported.clock.civil(rows.front().when.begin))};
    std::string text = fmt::format("{}, by {}\n  from   energy       greatest mean\n", date_text(date),
                                   imported.clock.name());
    for (const Hour& hour : hours) {
        text += fmt::format("  {:<5}  {:>11}  {:>8}\n", clock_text(imported.clock, hour.begin),
                            kilowatt_hours(hour.sums.energy), kilowatts(hour.sums.greatest_mean));
    }
    const Sums all = sums_of(rows);
    text += fmt::format("\n{} readings of {}, {} to {}: {}.\n", rows.size(), duration(usual_length(rows)),
                        iso_text(imported.clock, rows.front().when.begin),
                        iso_text(imported.clock, rows.back().when.end), kilowatt_hours(all.energy));
    text +=
        all.gaps == 0 ? "No gaps.\n" : fmt::format("{} gaps, {} in all.\n", all.gaps, duration(all.missing));
    return text + kept_out_text(imported.kept_out);
}

std::string kept_text(const site::Merged& merged, const std::filesystem::path& file, bool written) {
    std::string text;
    if (merged.added == 0) {
        text = fmt::format("{} stays as it is: nothing is new", file.string());
    } else if (written) {
        text = fmt::format("Wrote {}: {} readings added", file.string(), merged.added);
    } else {
        text = fmt::format("Nothing written: {} readings would be added to {}", merged.added, file.string());
    }
    if (merged.known > 0) text += fmt::format(", {} known before", merged.known);
    text += ".\n";
    if (merged.disagreements.empty()) return text;
    text += fmt::format("{} readings disagree with what is held; the held ones stay:\n",
                        merged.disagreements.size());
    const std::size_t shown = std::min(merged.disagreements.size(), kDisagreementsShown);
    for (std::size_t i = 0; i < shown; ++i) text += offered_text(merged.disagreements[i]) + "\n";
    if (shown < merged.disagreements.size()) {
        text += fmt::format("  and {} more\n", merged.disagreements.size() - shown);
    }
    return text;
}

std::string imported_json(const Imported& imported, const site::Merged& merged,
                          const std::filesystem::path& file, bool written) {
    using nlohmann::ordered_json;
    const auto& rows = imported.history.rows;
    const Sums all = sums_of(rows);
    const auto watt_hours = [](MilliwattHours energy) { return static_cast<double>(energy.count()) / 1000; };
    ordered_json out = {{"meter", imported.history.meter},
                        {"file", io::printable(file.string(), 4096)},
                        {"written", written},
                        {"readings", rows.size()},
                        {"interval_seconds", usual_length(rows).count()},
                        {"from", io::utc_text(rows.front().when.begin)},
                        {"to", io::utc_text(rows.back().when.end)},
                        {"energy_wh", watt_hours(all.energy)},
                        {"gaps", all.gaps},
                        {"missing_seconds", all.missing.count()},
                        {"added", merged.added},
                        {"known", merged.known}};
    out["first_day"] = ordered_json::array();
    for (const Hour& hour : first_day(imported)) {
        out["first_day"].push_back({{"from", iso_text(imported.clock, hour.begin)},
                                    {"energy_wh", watt_hours(hour.sums.energy)},
                                    {"greatest_mean_w", hour.sums.greatest_mean.count()}});
    }
    out["kept_out"] = ordered_json::array();
    for (const io::KeptOut& reading : imported.kept_out) {
        out["kept_out"].push_back({{"from", io::utc_text(reading.when.begin)},
                                   {"to", io::utc_text(reading.when.end)},
                                   {"energy_wh", watt_hours(reading.energy)},
                                   {"why", io::printable(reading.why, 1000)},
                                   {"line", reading.line}});
    }
    out["disagreements"] = ordered_json::array();
    for (const site::Disagreement& disagreement : merged.disagreements) {
        out["disagreements"].push_back({{"from", io::utc_text(disagreement.offered.when.begin)},
                                        {"held_wh", watt_hours(site::total(disagreement.held))},
                                        {"offered_wh", watt_hours(site::total(disagreement.offered))}});
    }
    out["warnings"] = ordered_json::array();
    for (const io::Fault& warning : imported.warnings) out["warnings"].push_back(io::text(warning));
    return out.dump(2);
}

}  // namespace lullwatt::tools
