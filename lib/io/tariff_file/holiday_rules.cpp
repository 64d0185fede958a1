#include "io/tariff_file/holiday_rules.hpp"

#include <algorithm>
#include <array>
#include <initializer_list>
#include <optional>
#include <utility>

namespace lullwatt::io {
namespace {

constexpr std::array<std::string_view, 5> kObservances = {
    "as-is", "nearest-weekday", "sunday-to-monday", "sunday-to-monday-drop-saturday", "next-free-weekday"};
constexpr std::array<std::string_view, 7> kWeekdays = {"sun", "mon", "tue", "wed", "thu", "fri", "sat"};

Observance observance(const std::string& word) {
    const auto found = std::ranges::find(kObservances, word);
    return static_cast<Observance>(found - kObservances.begin());
}

date::weekday weekday(const std::string& word) {
    const auto found = std::ranges::find(kWeekdays, word);
    return date::weekday{static_cast<unsigned>(found - kWeekdays.begin())};
}

using When = decltype(HolidayRule::when);

constexpr std::array<std::string_view, 8> kRuleKeys = {"date",         "weekday",     "of",     "nth",
                                                       "on_or_before", "on_or_after", "easter", "on"};

// All of these keys are stated, and no other that says when the day falls.
bool only(const Section& day, std::initializer_list<std::string_view> keys) {
    return std::ranges::all_of(kRuleKeys, [&](std::string_view key) {
        return day.stated(key) == (std::ranges::find(keys, key) != keys.end());
    });
}

// REQUIRES: every stated key of the rule has a value.
std::optional<When> when_of(const Section& day) {
    if (only(day, {"date"})) return FixedDate{day.get<date::month_day>("date")};
    if (only(day, {"easter"})) return EasterOffset{date::days{day.get<long long>("easter")}};
    if (only(day, {"on"})) return ListedDate{day.get<CivilDate>("on")};
    if (only(day, {"weekday", "of", "nth"})) {
        return NthWeekday{date::month{static_cast<unsigned>(day.get<long long>("of"))},
                          weekday(day.get<std::string>("weekday")),
                          static_cast<int>(day.get<long long>("nth"))};
    }
    for (const auto side : {WeekdayNear::Side::on_or_before, WeekdayNear::Side::on_or_after}) {
        const auto* key = side == WeekdayNear::Side::on_or_before ? "on_or_before" : "on_or_after";
        if (!only(day, {"weekday", key})) continue;
        return WeekdayNear{weekday(day.get<std::string>("weekday")), side, day.get<date::month_day>(key)};
    }
    return std::nullopt;
}

bool readable(const Section& day) {
    return day.has("name") && day.has("only_if_weekday") &&
           std::ranges::all_of(kRuleKeys,
                               [&](std::string_view key) { return day.stated(key) == day.has(key); });
}

std::optional<int> year(const Section& day, std::string_view key) {
    return day.has(key) ? std::optional(static_cast<int>(day.get<long long>(key))) : std::nullopt;
}

}  // namespace

std::optional<NthWeekday> read_weekday_rule(const Section& section, std::string_view key, Faults& faults) {
    if (section.sections(key).empty()) return std::nullopt;
    const Section& day = section.sections(key).front();
    if (!day.has("weekday") || !day.has("of") || !day.has("nth")) return std::nullopt;
    const auto nth = day.get<long long>("nth");
    if (nth == 0 || nth == 5 || nth == -5) {
        faults.push_back(
            day.fault("nth", "does not fall in every year", "1 to 4, or -1 to -4", "correct it"));
        return std::nullopt;
    }
    return NthWeekday{date::month{static_cast<unsigned>(day.get<long long>("of"))},
                      weekday(day.get<std::string>("weekday")), static_cast<int>(nth)};
}

HolidayCalendar read_holidays(const Section& holidays, Faults& faults) {
    std::vector<HolidayRule> rules;
    const bool told = std::ranges::any_of(
        faults, [&](const Fault& fault) { return fault.key == holidays.path() + ".days"; });
    if (holidays.stated("days") && holidays.sections("days").empty() && !told) {
        faults.push_back(holidays.fault("days", "is an empty list", "at least one holiday",
                                        "leave out 'holidays' if there are none"));
    }
    for (const Section& day : holidays.sections("days")) {
        if (!readable(day)) continue;  // the table's faults say why
        const auto when = when_of(day);
        if (!when) {
            faults.push_back(day.fault("", "has not exactly one rule that says when it falls",
                                       "date; or weekday with of and nth; or weekday with on_or_before; or "
                                       "weekday with on_or_after; or easter; or on",
                                       "keep one of them"));
            continue;
        }
        HolidayRule rule{.name = day.get<std::string>("name"), .when = *when};
        if (day.has("observed")) rule.observance = observance(day.get<std::string>("observed"));
        rule.only_if_weekday = day.get<bool>("only_if_weekday");
        rule.first_year = year(day, "first_year");
        rule.last_year = year(day, "last_year");
        if (well_formed(rule)) {
            rules.push_back(std::move(rule));
        } else {
            faults.push_back(day.fault("", "can never fall",
                                       "first_year up to last_year; nth from 1 to 5, or -1 to -5; no 02-29 "
                                       "for on_or_before and on_or_after",
                                       "correct the rule"));
        }
    }
    const std::string word = holidays.has("observed") ? holidays.get<std::string>("observed") : "as-is";
    return {std::move(rules), observance(word)};
}

}  // namespace lullwatt::io
