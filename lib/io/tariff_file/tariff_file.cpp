#include "io/tariff_file/tariff_file.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include <date/date.h>
#include <fmt/format.h>

#include "core/tariff/coverage.hpp"
#include "io/settings/section.hpp"
#include "io/tariff_file/announced_prices.hpp"
#include "io/tariff_file/holiday_rules.hpp"
#include "io/tariff_file/tariff_table.hpp"

namespace lullwatt::io {
namespace {

using tariff::Tariff;

constexpr std::array<std::string_view, 7> kDayNames = {"Sunday",   "Monday", "Tuesday", "Wednesday",
                                                       "Thursday", "Friday", "Saturday"};
constexpr std::array<std::string_view, 7> kDayWords = {"sun", "mon", "tue", "wed", "thu", "fri", "sat"};

std::string time_text(Seconds time) {
    return fmt::format("{:02}:{:02}", time.count() / 3600, time.count() / 60 % 60);
}

tariff::DaySet day_set(const Section& window) {
    const auto& words = window.list("days");
    if (!window.stated("days")) return tariff::DaySet::every_day();
    tariff::DaySet days;
    for (const auto& element : words) {
        const auto& word = std::get<std::string>(element.value);
        const bool every = word == "every-day";
        if (every || word == "holidays") days.holidays = true;
        for (std::size_t day = 0; day < 7; ++day) {
            const bool weekend = day == 0 || day == 6;
            if (every || word == kDayWords[day] || word == (weekend ? "weekends" : "weekdays")) {
                days.weekdays[day] = true;
            }
        }
    }
    return days;
}

std::vector<std::size_t> season_indices(const Section& window, const Tariff& tariff, Faults& faults) {
    std::vector<std::size_t> indices;
    for (const auto& element : window.list("seasons")) {
        const auto& name = std::get<std::string>(element.value);
        const auto found = std::ranges::find(tariff.seasons, name, &tariff::NamedSeason::name);
        if (found == tariff.seasons.end()) {
            std::vector<std::string> names;
            for (const auto& season : tariff.seasons) names.push_back(season.name);
            const auto meant = nearest(name, names);
            Fault fault =
                window.fault("seasons", fmt::format("names the season '{}', which is not there", name), "",
                             meant ? fmt::format("did you mean '{}'?", *meant) : "add it under 'seasons'");
            fault.line = element.place.line;
            fault.column = element.place.column;
            faults.push_back(std::move(fault));
            continue;
        }
        indices.push_back(static_cast<std::size_t>(found - tariff.seasons.begin()));
    }
    return indices;
}

constexpr std::array<std::string_view, 7> kLargeUnits = {"AUD", "CAD", "CHF", "EUR", "GBP", "NZD", "USD"};

// A rate per kWh that no household pays (ours): 2 in the currencies with the largest units, where 3.9 is
// surely cents; far more where the unit is small.
double implausible_rate(std::string_view currency) {
    if (std::ranges::find(kLargeUnits, currency) != kLargeUnits.end()) return 2;
    return minor_digits(currency) == 0 ? 500 : 50;
}

void check_magnitude(const Section& section, const Section& file, Faults& faults) {
    if (!section.has("per_kwh") || !file.has("currency") || file.get<bool>("large_rates")) return;
    const double most = implausible_rate(file.get<std::string>("currency"));
    const double rate = std::abs(static_cast<double>(section.get<Rate>("per_kwh").count()) / 1e12);
    if (rate < most) return;
    faults.push_back(section.fault(
        "per_kwh", "is more than a kilowatt-hour costs: were hundredths written for whole units?",
        fmt::format("a price below {} {}", most, file.get<std::string>("currency")),
        "divide it by 100, or state 'large_rates: yes'"));
}

tariff::Window read_window(const Section& section, const Section& file, const Tariff& tariff,
                           Faults& faults) {
    tariff::Window window;
    if (section.has("name")) window.name = section.get<std::string>("name");
    window.seasons = season_indices(section, tariff, faults);
    window.days = day_set(section);
    if (section.has("from")) window.from = section.get<Seconds>("from");
    if (section.has("to")) window.to = section.get<Seconds>("to");
    if (section.has("per_kwh")) window.rate = section.get<Rate>("per_kwh");
    if (window.from == Seconds{86400}) {
        faults.push_back(section.fault("from", "is the day's end", "a time below 24:00", "write 00:00"));
    }
    check_magnitude(section, file, faults);
    return window;
}

tariff::Revision read_revision(const Section& section, const Section& file, const Tariff& tariff,
                               Faults& faults) {
    tariff::Revision revision;
    if (section.has("from")) revision.from = section.get<CivilDate>("from");
    for (const Section& window : section.sections("windows")) {
        revision.windows.push_back(read_window(window, file, tariff, faults));
    }
    for (const Section& adder : section.sections("adders")) {
        check_magnitude(adder, file, faults);
        if (adder.has("name") && adder.has("per_kwh")) {
            revision.adders.push_back({adder.get<std::string>("name"), adder.get<Rate>("per_kwh")});
        }
    }
    for (const Section& tax : section.sections("taxes")) {
        if (!tax.has("name") || !tax.has("percent")) continue;
        const double percent = tax.get<Percent>("percent").percent;
        if (percent > 0 && percent < 1) {
            faults.push_back(tax.fault("percent", "is below 1 %: was a share written for a percentage?",
                                       "0 % to 100 %",
                                       fmt::format("write '{} %' if that is meant", percent * 100)));
        }
        revision.taxes.push_back({tax.get<std::string>("name"), std::llround(percent * 10'000)});
    }
    return revision;
}

void read_clock(const Section& file, Tariff& tariff, Faults& faults) {
    if (file.has("zone") && file.has("offset")) {
        faults.push_back(file.fault("offset", "stands beside 'zone'", "one clock, or none for the site's",
                                    "remove one of them"));
    } else if (file.has("zone")) {
        tariff.clock = file.get<std::string>("zone");
    } else if (file.has("offset")) {
        tariff.clock = file.get<Seconds>("offset");
    }
}

void read_announced(const Section& file, const std::filesystem::path& folder, Tariff& tariff,
                    Faults& faults) {
    if (!file.has("prices_from")) {
        if (file.has("fallback_per_kwh")) {
            faults.push_back(file.fault("fallback_per_kwh", "is of no use without 'prices_from'", "",
                                        "name the file of announced prices, or remove this"));
        }
        return;
    }
    if (!file.has("fallback_per_kwh")) {
        faults.push_back(file.fault("prices_from", "has no fallback for hours that are not announced",
                                    "fallback_per_kwh beside it",
                                    "add the price to assume, on the dear side"));
        return;
    }
    auto prices = read_announced_prices(folder / file.get<std::string>("prices_from"));
    if (!prices.ok()) {
        faults.insert(faults.end(), prices.faults().begin(), prices.faults().end());
        return;
    }
    tariff.announced = tariff::Announced{std::move(prices).value(), file.get<Rate>("fallback_per_kwh")};
}

Tariff build(const Section& file, const std::filesystem::path& folder, Faults& faults) {
    Tariff tariff;
    if (file.has("name")) tariff.name = file.get<std::string>("name");
    if (file.has("currency")) {
        tariff.currency = file.get<std::string>("currency");
        if (!minor_digits(tariff.currency)) {
            faults.push_back(
                file.fault("currency", "is no currency code", "three capitals by ISO 4217, such as CAD", ""));
        }
    }
    read_clock(file, tariff, faults);
    if (file.has("day_starts")) tariff.day_start = file.get<Seconds>("day_starts");
    for (const Section& season : file.sections("seasons")) {
        if (!season.has("name") || !season.has("from") || !season.has("to")) continue;
        tariff.seasons.push_back({season.get<std::string>("name"),
                                  {season.get<date::month_day>("from"), season.get<date::month_day>("to")}});
    }
    for (const Section& holidays : file.sections("holidays"))
        tariff.holidays = read_holidays(holidays, faults);
    for (const Section& revision : file.sections("revisions")) {
        tariff.revisions.push_back(read_revision(revision, file, tariff, faults));
    }
    for (const Section& order : file.sections("overrides")) {
        if (!order.has("from") || !order.has("to") || !order.has("name") || !order.has("per_kwh")) continue;
        check_magnitude(order, file, faults);
        const tariff::Override read{order.get<CivilDate>("from"), order.get<CivilDate>("to"),
                                    order.get<std::string>("name"), order.get<Rate>("per_kwh")};
        if (read.to < read.from) faults.push_back(order.fault("to", "is before 'from'", "", "swap them"));
        tariff.overrides.push_back(read);
    }
    read_announced(file, folder, tariff, faults);
    return tariff;
}

std::string kind_text(const Tariff& tariff, const tariff::DayKind& day) {
    const std::string name(day.holiday ? "a holiday" : kDayNames[day.weekday]);
    return day.season ? fmt::format("{} in {}", name, tariff.seasons[*day.season].name) : name;
}

void check_revisions(const Section& file, const Tariff& tariff, Faults& faults) {
    const auto& sections = file.sections("revisions");
    if (sections.empty()) {
        faults.push_back(
            file.fault("revisions", "is an empty list", "at least one revision", "add its first"));
    }
    for (std::size_t i = 0; i < sections.size(); ++i) {
        if (i > 0 && tariff.revisions[i].from <= tariff.revisions[i - 1].from) {
            faults.push_back(sections[i].fault("from", "is not after the revision above it",
                                               "oldest first, each date once", "put the revisions in order"));
        }
        const bool windows = !tariff.revisions[i].windows.empty();
        if (windows && file.has("prices_from")) {
            faults.push_back(sections[i].fault("windows", "stands beside 'prices_from', which would hide it",
                                               "adders and taxes only",
                                               "remove the windows or 'prices_from'"));
        }
    }
}

// At most one message per revision and stretch: seven weekdays with the same hole are one mistake.
void check_coverage(const Section& file, const Tariff& tariff, Faults& faults) {
    const auto& revisions = file.sections("revisions");
    std::vector<std::pair<std::size_t, std::pair<Seconds, Seconds>>> told;
    for (const auto& hole : tariff::holes(tariff)) {
        const auto key = std::pair(hole.revision, std::pair(hole.from, hole.to));
        if (std::ranges::find(told, key) != told.end()) continue;
        told.push_back(key);
        faults.push_back(revisions[hole.revision].fault(
            "windows",
            fmt::format("leave {}, {}–{}, without a price", kind_text(tariff, hole.day), time_text(hole.from),
                        time_text(hole.to)),
            "a window for every hour of every kind of day",
            "add a last window without days and hours for the rest"));
    }
    for (const auto& hidden : tariff::shadowed(tariff)) {
        faults.push_back(revisions[hidden.revision].sections("windows")[hidden.window].fault(
            "", "never counts: the windows above it hold all of its hours", "", "move it up, or remove it"));
    }
    for (const auto& fault : tariff::season_faults(tariff)) {
        faults.push_back(file.fault(
            "seasons",
            fmt::format("{} {:02}-{:02}", fault.twice ? "overlap on" : "leave out",
                        static_cast<unsigned>(fault.day.month()), static_cast<unsigned>(fault.day.day())),
            "every day of the year in exactly one season", "mend their first and last days"));
    }
}

Read<Tariff> finish(ReadSection read, const std::filesystem::path& folder) {
    Faults faults = std::move(read.faults);
    const bool whole = faults.empty();
    Tariff tariff = build(read.section, folder, faults);
    // Coverage of half-read windows would only repeat what was already said.
    if (whole && faults.empty()) {
        check_revisions(read.section, tariff, faults);
        check_coverage(read.section, tariff, faults);
    }
    if (faults.empty()) return tariff;
    std::ranges::stable_sort(faults, {},
                             [](const Fault& fault) { return std::pair(fault.line, fault.column); });
    return faults;
}

}  // namespace

Read<Tariff> read_tariff_file(const std::filesystem::path& file) {
    return finish(read_file(file, kTariffTable), file.parent_path());
}

Read<Tariff> read_tariff_text(const std::string& text, const std::string& name,
                              const std::filesystem::path& folder) {
    return finish(read_text(text, name, kTariffTable), folder);
}

}  // namespace lullwatt::io
