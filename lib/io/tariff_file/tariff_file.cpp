#include "io/tariff_file/tariff_file.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <tuple>
#include <utility>

#include <fmt/format.h>

#include "io/settings/currency.hpp"
#include "io/settings/section.hpp"
#include "io/tariff_file/announced_prices.hpp"
#include "io/tariff_file/day_words.hpp"
#include "io/tariff_file/holiday_rules.hpp"
#include "io/tariff_file/magnitude.hpp"
#include "io/tariff_file/tariff_checks.hpp"
#include "io/tariff_file/tariff_table.hpp"

namespace lullwatt::io {
namespace {

using tariff::Tariff;

constexpr Seconds kDay{86400};

// Leaves `into` as it is where the key could not be read.
template <class Value>
void take(const Section& section, std::string_view key, Value& into) {
    if (const auto* value = section.find<Value>(key)) into = *value;
}

std::vector<std::string> season_names(const Tariff& tariff) {
    std::vector<std::string> names;
    for (const auto& season : tariff.seasons) names.push_back(season.name);
    return names;
}

// A season of several parts is listed once for each, under one name.
std::vector<std::size_t> season_indices(const Section& window, const Tariff& tariff, Faults& faults) {
    std::vector<std::size_t> indices;
    const auto& words = window.list("seasons");
    const bool told = std::ranges::any_of(
        faults, [&](const Fault& fault) { return fault.key.starts_with(window.path() + ".seasons"); });
    if (words.empty() && window.stated("seasons") && !told) {
        faults.push_back(window.fault("seasons", "is an empty list",
                                      fmt::format("{}", fmt::join(season_names(tariff), ", ")),
                                      "name the seasons, or leave it out if all are meant"));
    }
    for (std::size_t word = 0; word < words.size(); ++word) {
        const auto& name = std::get<std::string>(words[word].value);
        const std::size_t before = indices.size();
        for (std::size_t i = 0; i < tariff.seasons.size(); ++i) {
            if (tariff.seasons[i].name == name) indices.push_back(i);
        }
        if (indices.size() > before) continue;
        const auto names = season_names(tariff);
        const auto meant = nearest(name, names);
        faults.push_back(window.element_fault(
            "seasons", word, "is no season of this file", fmt::format("{}", fmt::join(names, ", ")),
            meant ? fmt::format("did you mean '{}'?", *meant) : "add it under 'seasons'"));
    }
    return indices;
}

// An adder is taken by its size, as a window is: cents for dollars is the same slip there.
void check_magnitude(const Section& section, std::string_view key, const Section& file, Faults& faults) {
    const auto* rate = section.find<Rate>(key);
    const auto* currency = file.find<std::string>("currency");
    const auto* silenced = file.find<bool>("large_rates");
    if (rate == nullptr || currency == nullptr || (silenced != nullptr && *silenced)) return;
    const auto limit = implausible_rate(*currency);
    if (!limit || (-*limit < *rate && *rate < *limit)) return;
    faults.push_back(section.fault(
        key, "is more than a kilowatt-hour costs: were hundredths written for whole units?",
        fmt::format("a price below {} {} per kWh", decimal_text(limit->count(), 12), *currency),
        fmt::format("write '{}', or state 'large_rates: yes'", decimal_text(rate->count() / 100, 12))));
}

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
    return window;
}

// 0.05 to 0.27 are shares of taxes on sales somewhere; a levy of less than 0.3 % is rare (ours).
constexpr double kSmallTax = 0.3;

tariff::Tax read_tax(const Section& section, const Section& file, Faults& faults) {
    tariff::Tax tax;
    take(section, "name", tax.name);
    const auto* percent = section.find<Percent>("percent");
    if (percent == nullptr) return tax;
    tax.millionths = std::llround(percent->percent * 10'000);
    const auto* silenced = file.find<bool>("small_taxes");
    if (percent->percent > 0 && percent->percent < kSmallTax && !(silenced != nullptr && *silenced)) {
        faults.push_back(section.fault(
            "percent", "is hardly a tax: was a share written for a percentage?", "",
            fmt::format("write '{} %', or state 'small_taxes: yes'", decimal_text(tax.millionths * 100, 4))));
    }
    return tax;
}

tariff::Revision read_revision(const Section& section, const Section& file, const DayWords& words,
                               const Tariff& tariff, Faults& faults) {
    tariff::Revision revision;
    take(section, "from", revision.from);
    if (const auto* to = section.find<CivilDate>("to")) revision.to = *to;
    for (const Section& window : section.sections("windows")) {
        revision.windows.push_back(read_window(window, file, words, tariff, faults));
    }
    for (const Section& adder : section.sections("adders")) {
        check_magnitude(adder, "per_kwh", file, faults);
        tariff::Adder& read = revision.adders.emplace_back();
        take(adder, "name", read.name);
        take(adder, "per_kwh", read.rate);
    }
    for (const Section& tax : section.sections("taxes")) {
        revision.taxes.push_back(read_tax(tax, file, faults));
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
    AnnouncedFormat format;
    const auto* every = file.find<std::string>("prices_every");
    if (every != nullptr)
        format.every = std::chrono::minutes{*every == "15 min" ? 15 : *every == "30 min" ? 30 : 60};
    const auto* per = file.find<std::string>("prices_per");
    format.per_megawatt_hour = per != nullptr && *per == "MWh";
    const auto* silenced = file.find<bool>("large_rates");
    if (silenced != nullptr && !*silenced) format.implausible = implausible_rate(tariff.currency);
    auto prices = read_announced_prices(folder / *name, format);
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
    }
    for (const Section& season : file.sections("seasons")) {
        if (!season.has("name") || !season.has("from") || !season.has("to")) continue;
        tariff.seasons.push_back({season.get<std::string>("name"),
                                  {season.get<date::month_day>("from"), season.get<date::month_day>("to")}});
    }
    for (const Section& holidays : file.sections("holidays"))
        tariff.holidays = read_holidays(holidays, faults);
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
