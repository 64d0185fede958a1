#include "core/tariff/coverage.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace lullwatt::tariff {
namespace {

using date::sys_days;

using SeasonPair = std::pair<std::optional<std::size_t>, std::optional<std::size_t>>;

// Which season follows which from one day to the next, by the dates of a leap year and a common one.
std::set<SeasonPair> season_pairs(const Tariff& tariff) {
    if (tariff.seasons.empty()) return {{std::nullopt, std::nullopt}};
    std::set<SeasonPair> pairs;
    const auto season = [&](sys_days day) -> std::optional<std::size_t> {
        const auto found = std::ranges::find_if(
            tariff.seasons, [&](const NamedSeason& named) { return named.days.contains(CivilDate{day}); });
        if (found == tariff.seasons.end()) return std::nullopt;
        return static_cast<std::size_t>(found - tariff.seasons.begin());
    };
    const sys_days last{date::year{2026} / 1 / 1};
    for (sys_days day{date::year{2024} / 1 / 1}; day < last; day += date::days{1}) {
        pairs.insert({season(day - date::days{1}), season(day)});
    }
    return pairs;
}

using ClassPair = std::pair<std::optional<std::size_t>, std::optional<std::size_t>>;

std::vector<ClassPair> class_pairs(const Tariff& tariff) {
    if (!tariff.classes) return {{std::nullopt, std::nullopt}};
    std::vector<ClassPair> pairs;
    for (std::size_t before = 0; before < tariff.classes->names.size(); ++before) {
        for (std::size_t day = 0; day < tariff.classes->names.size(); ++day) pairs.emplace_back(before, day);
    }
    return pairs;
}

// Every kind of day there can be, with every kind of day before it.
std::vector<TwoDays> all_kinds(const Tariff& tariff) {
    std::vector<TwoDays> kinds;
    const unsigned holiday_cases = tariff.holidays.empty() ? 1 : 4;
    const auto classes = class_pairs(tariff);
    for (const auto& [season_before, season] : season_pairs(tariff)) {
        for (unsigned weekday = 0; weekday < 7; ++weekday) {
            for (unsigned holidays = 0; holidays < holiday_cases; ++holidays) {
                for (const auto& [class_before, day_class] : classes) {
                    kinds.push_back({{season_before, (weekday + 6) % 7, (holidays & 2U) != 0, class_before},
                                     {season, weekday, (holidays & 1U) != 0, day_class}});
                }
            }
        }
    }
    return kinds;
}

struct Unpriced {
    Seconds from;
    Seconds to;
};

std::vector<Unpriced> unpriced(const Tariff& tariff, const Revision& revision,
                               const std::vector<Seconds>& begins, const TwoDays& days) {
    std::vector<Unpriced> found;
    for (std::size_t i = 0; i < begins.size(); ++i) {
        if (window_at(tariff, revision, days, begins[i]) != nullptr) continue;
        const Seconds end = i + 1 < begins.size() ? begins[i + 1] : kDay;
        if (!found.empty() && found.back().to == begins[i]) {
            found.back().to = end;
        } else {
            found.push_back({begins[i], end});
        }
    }
    return found;
}

// Days with the same hours unpriced are one hole.
void note(std::vector<Hole>& holes, std::size_t revision, Unpriced stretch, DayKind day) {
    if (day.holiday) day.weekday = 0;
    const auto same = std::ranges::find_if(holes, [&](const Hole& hole) {
        return hole.revision == revision && hole.from == stretch.from && hole.to == stretch.to;
    });
    if (same == holes.end()) {
        holes.push_back({revision, {day}, stretch.from, stretch.to});
    } else if (std::ranges::find(same->days, day) == same->days.end()) {
        same->days.push_back(day);
        std::ranges::sort(same->days);
    }
}

// The windows that hold, before it, the hours the window would hold by itself.
std::vector<std::size_t> hiders_of(const Tariff& tariff, const Revision& revision, std::size_t window,
                                   const std::vector<Seconds>& begins, const std::vector<TwoDays>& kinds) {
    Revision alone = revision;
    alone.windows = {revision.windows[window]};
    std::set<std::size_t> found;
    for (const TwoDays& days : kinds) {
        for (const Seconds at : begins) {
            if (window_at(tariff, alone, days, at) == nullptr) continue;
            found.insert(
                static_cast<std::size_t>(window_at(tariff, revision, days, at) - revision.windows.data()));
        }
    }
    return {found.begin(), found.end()};
}

}  // namespace

std::vector<Hole> holes(const Tariff& tariff) {
    std::vector<Hole> found;
    if (tariff.announced) return found;
    const auto kinds = all_kinds(tariff);
    for (std::size_t r = 0; r < tariff.revisions.size(); ++r) {
        const auto begins = edges(tariff, tariff.revisions[r]);
        for (const TwoDays& days : kinds) {
            for (const Unpriced stretch : unpriced(tariff, tariff.revisions[r], begins, days)) {
                note(found, r, stretch, days.day);
            }
        }
    }
    return found;
}

std::vector<Shadowed> shadowed(const Tariff& tariff) {
    std::vector<Shadowed> found;
    const auto kinds = all_kinds(tariff);
    for (std::size_t r = 0; r < tariff.revisions.size(); ++r) {
        const Revision& revision = tariff.revisions[r];
        std::set<const Window*> seen;
        const auto begins = edges(tariff, revision);
        for (const TwoDays& days : kinds) {
            for (const Seconds at : begins) seen.insert(window_at(tariff, revision, days, at));
        }
        for (std::size_t w = 0; w < revision.windows.size(); ++w) {
            if (seen.contains(&revision.windows[w])) continue;
            found.push_back({r, w, hiders_of(tariff, revision, w, begins, kinds)});
        }
    }
    return found;
}

std::vector<SeasonFault> season_faults(const Tariff& tariff) {
    std::vector<SeasonFault> found;
    if (tariff.seasons.empty()) return found;
    long before = 1;
    const sys_days first{date::year{2024} / 1 / 1};  // a leap year has every day
    for (sys_days day = first; day < first + date::days{366}; day += date::days{1}) {
        const CivilDate date{day};
        const long held = std::ranges::count_if(
            tariff.seasons, [&](const NamedSeason& named) { return named.days.contains(date); });
        const long state = std::min(held, 2L);
        if (state != 1 && state != before) found.push_back({date.month() / date.day(), state == 2});
        before = state;
    }
    return found;
}

}  // namespace lullwatt::tariff
