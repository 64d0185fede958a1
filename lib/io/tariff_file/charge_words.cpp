#include "io/tariff_file/charge_words.hpp"

#include <cmath>
#include <optional>
#include <string>

#include <fmt/format.h>

#include "io/tariff_file/magnitude.hpp"

namespace lullwatt::io {

using tariff::Tariff;

void take_percent(const Section& section, std::string_view key, std::int64_t& millionths) {
    if (const auto* percent = section.find<Percent>(key))
        millionths = std::llround(percent->percent * 10'000);
}

void take_loss_factor(const Section& section, std::int64_t& into) {
    if (const auto* factor = section.find<Factor>("loss_factor")) into = factor->millionths;
}

void take_yearly_day(const Section& section, std::string_view key, date::month_day& into, Faults& faults) {
    const auto* day = section.find<date::month_day>(key);
    if (day == nullptr) return;
    if (*day == date::month{2} / 29) {
        faults.push_back(
            section.fault(key, "comes in leap years only", "a day of every year", "write 02-28 or 03-01"));
        return;
    }
    into = *day;
}

std::vector<std::string> texts(const Section& section, std::string_view key) {
    std::vector<std::string> found;
    for (const auto& element : section.list(key)) {
        if (const auto* text = std::get_if<std::string>(&element.value)) found.push_back(*text);
    }
    return found;
}

void check_names(const Section& section, std::string_view key, const std::vector<std::string>& known,
                 std::string_view what, Faults& faults) {
    const auto& elements = section.list(key);
    for (std::size_t i = 0; i < elements.size(); ++i) {
        const auto& name = elements[i].written;
        if (std::ranges::find(known, name) != known.end()) continue;
        const auto meant = nearest(name, known);
        faults.push_back(section.element_fault(
            key, i, fmt::format("is no {} of this revision", what), fmt::format("{}", fmt::join(known, ", ")),
            meant ? fmt::format("did you mean '{}'?", *meant) : "correct the name"));
    }
}

std::vector<std::size_t> season_indices(const Section& section, const Tariff& tariff, Faults& faults) {
    std::vector<std::size_t> indices;
    std::vector<std::string> names;
    for (const auto& season : tariff.seasons) names.push_back(season.name);
    const auto& words = section.list("seasons");
    const bool told = std::ranges::any_of(
        faults, [&](const Fault& fault) { return fault.key.starts_with(section.path() + ".seasons"); });
    if (words.empty() && section.stated("seasons") && !told) {
        faults.push_back(section.fault("seasons", "is an empty list",
                                       fmt::format("{}", fmt::join(names, ", ")),
                                       "name the seasons, or leave it out if all are meant"));
    }
    for (std::size_t word = 0; word < words.size(); ++word) {
        const auto& name = std::get<std::string>(words[word].value);
        const std::size_t before = indices.size();
        for (std::size_t i = 0; i < tariff.seasons.size(); ++i) {
            if (tariff.seasons[i].name == name) indices.push_back(i);
        }
        if (indices.size() > before) continue;
        const auto meant = nearest(name, names);
        faults.push_back(section.element_fault(
            "seasons", word, "is no season of this file", fmt::format("{}", fmt::join(names, ", ")),
            meant ? fmt::format("did you mean '{}'?", *meant) : "add it under 'seasons'"));
    }
    return indices;
}

namespace {

// The file's currency, where improbable figures are to be asked about.
const std::string* asked_currency(const Section& file) {
    const auto* silenced = file.find<bool>("large_rates");
    return silenced != nullptr && *silenced ? nullptr : file.find<std::string>("currency");
}

void ask_rate(const Section& section, std::string_view key, std::optional<Rate> limit,
              const std::string& currency, Faults& faults) {
    const auto* rate = section.find<Rate>(key);
    if (rate == nullptr || !limit || (-*limit < *rate && *rate < *limit)) return;
    faults.push_back(section.fault(
        key, "is more than a kilowatt-hour costs: were hundredths written for whole units?",
        fmt::format("a price below {} {} per kWh", decimal_text(limit->count(), 12), currency),
        fmt::format("write '{}', or state 'large_rates: yes'", decimal_text(rate->count() / 100, 12))));
}

}  // namespace

void check_magnitude(const Section& section, std::string_view key, const Section& file, Faults& faults) {
    const auto* currency = asked_currency(file);
    if (currency != nullptr) ask_rate(section, key, implausible_rate(*currency), *currency, faults);
}

void check_adder_magnitude(const Section& section, const Section& file, Faults& faults) {
    const auto* currency = asked_currency(file);
    if (currency == nullptr) return;
    const bool always = !section.stated("windows");
    ask_rate(section, "per_kwh", always ? implausible_adder(*currency) : implausible_rate(*currency),
             *currency, faults);
}

void check_day_magnitude(const Section& section, const Section& file, Faults& faults) {
    const auto* per = section.find<std::string>("per");
    const auto* amount = section.find<Money>("amount");
    const auto* currency = asked_currency(file);
    if (per == nullptr || *per != "day" || amount == nullptr || currency == nullptr) return;
    const auto limit = implausible_day(*currency);
    if (!limit || (-*limit < *amount && *amount < *limit)) return;
    faults.push_back(section.fault(
        "amount", "is more than a day costs: were hundredths written for whole units?",
        fmt::format("an amount below {} {} a day", decimal_text(limit->count(), 6), *currency),
        fmt::format("write '{}', or state 'large_rates: yes'", decimal_text(amount->count() / 100, 6))));
}

}  // namespace lullwatt::io
