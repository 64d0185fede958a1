#include "io/tariff_file/tariff_file.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <optional>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "io/settings/currency.hpp"
#include "io/settings/section.hpp"
#include "io/tariff_file/announced_prices.hpp"
#include "io/tariff_file/charge_sections.hpp"
#include "io/tariff_file/charge_words.hpp"
#include "io/tariff_file/day_classes.hpp"
#include "io/tariff_file/day_words.hpp"
#include "io/tariff_file/holiday_rules.hpp"
#include "io/tariff_file/tariff_checks.hpp"
#include "io/tariff_file/tariff_table.hpp"
#include "io/zone/zone.hpp"

namespace lullwatt::io {
namespace {

using tariff::Tariff;

constexpr Seconds kDay{86400};
constexpr Seconds kNoon{43200};

tariff::Window read_window(const Section& section, const Section& file, const DayWords& words,
                           const Tariff& tariff, Faults& faults) {
    tariff::Window window;
    take(section, "name", window.name);
    window.seasons = season_indices(section, tariff, faults);
    window.days = section.stated("days") ? words.days_of(section, faults) : tariff::DaySet::every_day();
    take(section, "from", window.from);
    take(section, "to", window.to);
    take(section, "per_kwh", window.rate);
    if (const auto* word = section.find<std::string>("past_midnight"); word && *word == "day-before") {
        window.past_midnight = tariff::PastMidnight::day_before;
    }
    if (window.from == kDay) {
        faults.push_back(section.fault("from", "is the day's end", "a time below 24:00", "write 00:00"));
    } else if (window.from == window.to) {
        faults.push_back(section.fault("to", "is where the window begins, so it has no length",
                                       "a time other than 'from'",
                                       "leave out 'from' and 'to' if all day is meant"));
    } else if (window.past_midnight == tariff::PastMidnight::day_before && window.from < window.to) {
        faults.push_back(section.fault("past_midnight", "is said of a window that ends before midnight",
                                       "a window whose 'to' is before its 'from'", "remove it"));
    }
    check_magnitude(section, "per_kwh", file, faults);
    check_magnitude(section, "export_per_kwh", file, faults);
    if (const auto* rate = section.find<Rate>("export_per_kwh")) window.export_rate = *rate;
    if (const auto* factor = section.find<Factor>("loss_factor")) window.loss_factor = factor->millionths;
    window.classes = class_indices(section, tariff, faults);
    return window;
}

// Without windows, blocks and adders are all that gives a season its price.
void check_seasons_priced(const Section& section, const Tariff& tariff, const tariff::Revision& revision,
                          Faults& faults) {
    std::vector<std::string> bare;
    for (std::size_t season = 0; season < tariff.seasons.size(); ++season) {
        const auto holds = [&](const auto& charge) {
            return charge.seasons.empty() ||
                   std::ranges::find(charge.seasons, season) != charge.seasons.end();
        };
        if (std::ranges::any_of(revision.blocks, holds) || std::ranges::any_of(revision.adders, holds))
            continue;
        const std::string& name = tariff.seasons[season].name;
        if (std::ranges::find(bare, name) == bare.end()) bare.push_back(name);
    }
    if (bare.empty()) return;
    faults.push_back(
        section.fault("blocks", fmt::format("leave season {} without a price", fmt::join(bare, " and ")),
                      "a block or an adder in every season",
                      "add one; where energy is free then, state 'windows: [{name: free, per_kwh: 0}]'"));
}

tariff::Revision read_revision(const Section& section, const Section& file, const DayWords& words,
                               const Tariff& tariff, Faults& faults) {
    tariff::Revision revision;
    take(section, "from", revision.from);
    if (const auto* to = section.find<CivilDate>("to")) revision.to = *to;
    for (const Section& window : section.sections("windows")) {
        revision.windows.push_back(read_window(window, file, words, tariff, faults));
    }
    // Blocks may be all there is: every hour is then alike.
    const bool implied =
        !section.stated("windows") && section.stated("blocks") && !file.stated("prices_from");
    if (implied) revision.windows.push_back({.name = "energy"});
    read_charges(section, {file, words, tariff}, revision, faults);
    if (implied) check_seasons_priced(section, tariff, revision, faults);
    return revision;
}

void read_clock(const Section& file, Tariff& tariff, Faults& faults) {
    if (file.has("zone") && file.has("offset")) {
        faults.push_back(file.fault("offset", "stands beside 'zone'", "one clock, or none for the site's",
                                    "remove one of them"));
    } else if (file.has("zone")) {
        const auto& zone = file.get<std::string>("zone");
        tariff.clock = zone;
        std::error_code error;
        const bool inside = zone.find("..") == std::string::npos && !zone.starts_with('/');
        if (!inside ||
            !std::filesystem::is_regular_file(std::filesystem::path(kZoneDirectory) / zone, error)) {
            faults.push_back(file.fault("zone", "is no zone of this system",
                                        "a zone name such as "
                                        "'America/Halifax'",
                                        "correct it, or install the zones' package tzdata"));
        }
    } else if (file.has("offset")) {
        tariff.clock = file.get<Seconds>("offset");
    }
    for (const Section& rule : file.sections("summer_time")) {
        if (!file.stated("offset")) {
            faults.push_back(file.fault("summer_time", "stands without 'offset', the clock's standard time",
                                        "",
                                        "add 'offset', or leave both out where the clock goes by a zone"));
        }
        const auto begins = read_weekday_rule(rule, "begins", faults);
        const auto ends = read_weekday_rule(rule, "ends", faults);
        const auto* offset = file.find<Seconds>("offset");
        if (begins && ends && offset != nullptr) tariff.clock = tariff::SummerTime{*offset, *begins, *ends};
    }
}

void read_announced(const Section& file, const std::filesystem::path& folder, Tariff& tariff,
                    Faults& faults) {
    if (!file.stated("prices_from")) {
        for (const std::string_view key : {"fallback_per_kwh", "prices_every", "prices_per"}) {
            if (!file.stated(key)) continue;
            faults.push_back(file.fault(key, "is of no use without 'prices_from'", "",
                                        "name the file of announced prices, or remove this"));
        }
        return;
    }
    check_magnitude(file, "fallback_per_kwh", file, faults);
    if (!file.stated("fallback_per_kwh")) {
        faults.push_back(file.fault("prices_from", "has no fallback for hours that are not announced",
                                    "fallback_per_kwh beside it",
                                    "add the price to assume, on the dear side"));
    }
    const auto* name = file.find<std::string>("prices_from");
    if (name == nullptr) return;
    auto prices = read_announced_prices(folder / *name, announced_format(file));
    if (!prices.ok()) {
        faults.insert(faults.end(), prices.faults().begin(), prices.faults().end());
        return;
    }
    tariff.announced = tariff::Announced{std::move(prices).value(), {}};
    take(file, "fallback_per_kwh", tariff.announced->fallback);
}

tariff::Override read_override(const Section& section, const Section& file, Faults& faults) {
    tariff::Override order;
    take(section, "from", order.from);
    take(section, "to", order.to);
    take(section, "name", order.name);
    if (const auto* rate = section.find<Rate>("per_kwh")) order.rate = *rate;
    check_magnitude(section, "per_kwh", file, faults);
    return order;
}

Tariff build(const Section& file, const std::filesystem::path& folder, Faults& faults) {
    Tariff tariff;
    take(file, "name", tariff.name);
    take(file, "currency", tariff.currency);
    if (file.has("currency") && !minor_digits(tariff.currency)) {
        faults.push_back(currency_fault(file));
    }
    read_clock(file, tariff, faults);
    take(file, "day_starts", tariff.day_start);
    if (tariff.day_start == kDay) {
        faults.push_back(file.fault("day_starts", "is the day's end", "a time below 24:00", "write 00:00"));
    } else if (tariff.day_start > kNoon) {
        tariff.day_start -= kDay;  // the evening before
    }
    for (const Section& season : file.sections("seasons")) {
        if (!season.has("name") || !season.has("from") || !season.has("to")) continue;
        tariff.seasons.push_back({season.get<std::string>("name"),
                                  {season.get<date::month_day>("from"), season.get<date::month_day>("to")}});
    }
    for (const Section& holidays : file.sections("holidays"))
        tariff.holidays = read_holidays(holidays, faults);
    tariff.classes = read_day_classes(file, folder, faults);
    read_billing_rules(file, tariff, faults);
    const DayWords words(file, faults);
    for (const Section& revision : file.sections("revisions")) {
        tariff.revisions.push_back(read_revision(revision, file, words, tariff, faults));
    }
    for (const Section& order : file.sections("overrides")) {
        tariff.overrides.push_back(read_override(order, file, faults));
    }
    read_announced(file, folder, tariff, faults);
    return tariff;
}

// By place in the tariff file; those of a file of announced prices after them.
Read<Tariff> finish(ReadSection read, const std::string& name, const std::filesystem::path& folder) {
    Faults faults = std::move(read.faults);
    const Tariff tariff = build(read.section, folder, faults);
    check_tariff(read.section, tariff, faults);
    if (faults.empty()) return tariff;
    for (Fault& fault : faults) {
        const bool number =
            !fault.value.empty() && fault.value.find_first_not_of("0123456789") == std::string::npos;
        if (fault.key != "format" || !number || fault.value == "0") continue;
        fault.what = "is newer than this program";
        fault.mend = "bring the program up to date, or write the file by format 1";
    }
    std::ranges::stable_sort(faults, {}, [&](const Fault& fault) {
        return std::tuple(fault.file != name, fault.line, fault.column);
    });
    return faults;
}

}  // namespace

Read<Tariff> read_tariff_file(const std::filesystem::path& file) {
    return finish(read_file(file, kTariffTable), file.string(), file.parent_path());
}

Read<Tariff> read_tariff_text(const std::string& text, const std::string& name,
                              const std::filesystem::path& folder) {
    return finish(read_text(text, name, kTariffTable), name, folder);
}

}  // namespace lullwatt::io
