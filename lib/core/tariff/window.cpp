#include "core/tariff/window.hpp"

#include <algorithm>

namespace lullwatt::tariff {
namespace {

constexpr Seconds kDay{86400};

bool crosses_midnight(const Window& window) { return window.to <= window.from; }

bool holds_time(const Window& window, Seconds time) {
    if (!crosses_midnight(window)) return window.from <= time && time < window.to;
    return window.from <= time || time < window.to;
}

bool holds_season(const Window& window, const DayKind& day) {
    if (window.seasons.empty()) return true;
    return day.season && std::ranges::find(window.seasons, *day.season) != window.seasons.end();
}

bool holds_day(const Window& window, const DayKind& day) {
    const bool kind = day.holiday ? window.days.holidays : window.days.weekdays[day.weekday];
    return kind && holds_season(window, day);
}

const DayKind& judged_by(const Window& window, const TwoDays& days, Seconds time) {
    const bool evenings = window.past_midnight == PastMidnight::day_before;
    return evenings && crosses_midnight(window) && time < window.to ? days.before : days.day;
}

}  // namespace

DayKind day_kind(const Tariff& tariff, CivilDate date) {
    DayKind kind;
    kind.weekday = date::weekday{date::local_days{date}}.c_encoding();
    kind.holiday = tariff.holidays.holiday(date).has_value();
    const auto season = std::ranges::find_if(
        tariff.seasons, [&](const NamedSeason& named) { return named.days.contains(date); });
    if (season != tariff.seasons.end()) {
        kind.season = static_cast<std::size_t>(season - tariff.seasons.begin());
    }
    return kind;
}

CivilDate tariff_day(const Tariff& tariff, CivilTime label) {
    return CivilDate{date::floor<date::days>(label - tariff.day_start)};
}

const Window* window_at(const Revision& revision, const TwoDays& days, Seconds time_of_day) {
    const auto found = std::ranges::find_if(revision.windows, [&](const Window& window) {
        return holds_time(window, time_of_day) && holds_day(window, judged_by(window, days, time_of_day));
    });
    return found == revision.windows.end() ? nullptr : &*found;
}

const Window* window_named(const Revision& revision, const DayKind& day, std::string_view name) {
    const auto found = std::ranges::find_if(revision.windows, [&](const Window& window) {
        return window.name == name && holds_season(window, day);
    });
    return found == revision.windows.end() ? nullptr : &*found;
}

std::vector<Seconds> edges(const Revision& revision) {
    std::vector<Seconds> found = {Seconds{0}};
    for (const Window& window : revision.windows) {
        found.push_back(window.from);
        found.push_back(window.to % kDay);
    }
    std::ranges::sort(found);
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

}  // namespace lullwatt::tariff
