#include "io/tariff_file/holiday_rules.hpp"

#include <algorithm>
#include <array>
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

std::optional<When> by_weekday(const Section& day) {
    const auto on = weekday(day.get<std::string>("weekday"));
    const bool nth = day.has("of") && day.has("nth") && day.get<long long>("nth") != 0;
    const bool before = day.has("on_or_before");
    const bool after = day.has("on_or_after");
    if (nth + before + after != 1) return std::nullopt;
    if (nth) {
        return NthWeekday{date::month{static_cast<unsigned>(day.get<long long>("of"))}, on,
                          static_cast<int>(day.get<long long>("nth"))};
    }
    const auto side = before ? WeekdayNear::Side::on_or_before : WeekdayNear::Side::on_or_after;
    return WeekdayNear{on, side, day.get<date::month_day>(before ? "on_or_before" : "on_or_after")};
}

std::optional<When> when_of(const Section& day) {
    const int stated = day.has("date") + day.has("weekday") + day.has("easter") + day.has("on");
    if (stated != 1) return std::nullopt;
    if (day.has("date")) return FixedDate{day.get<date::month_day>("date")};
    if (day.has("easter")) return EasterOffset{date::days{day.get<long long>("easter")}};
    if (day.has("on")) return ListedDate{day.get<CivilDate>("on")};
    return by_weekday(day);
}

std::optional<int> year(const Section& day, std::string_view key) {
    return day.has(key) ? std::optional(static_cast<int>(day.get<long long>(key))) : std::nullopt;
}

}  // namespace

HolidayCalendar read_holidays(const Section& holidays, Faults& faults) {
    std::vector<HolidayRule> rules;
    for (const Section& day : holidays.sections("days")) {
        const auto when = when_of(day);
        if (!when || !day.has("name")) {
            if (day.has("name")) {
                faults.push_back(
                    day.fault("", "has not exactly one rule that says when it falls",
                              "date; or weekday with of and nth; or weekday with on_or_before or "
                              "on_or_after; or easter; or on",
                              "keep one of them"));
            }
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
            faults.push_back(
                day.fault("", "can never fall", "first_year up to last_year, days that exist", ""));
        }
    }
    const std::string word = holidays.has("observed") ? holidays.get<std::string>("observed") : "as-is";
    return {std::move(rules), observance(word)};
}

}  // namespace lullwatt::io
