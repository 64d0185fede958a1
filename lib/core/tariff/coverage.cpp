#include "core/tariff/coverage.hpp"

#include <algorithm>
#include <set>

namespace lullwatt::tariff {
namespace {

constexpr Seconds kDay{86400};

// Every kind of day there can be: each weekday and a holiday, in each season.
std::vector<DayKind> all_kinds(const Tariff& tariff) {
    std::vector<DayKind> kinds;
    const std::size_t seasons = std::max<std::size_t>(1, tariff.seasons.size());
    for (std::size_t season = 0; season < seasons; ++season) {
        const auto index = tariff.seasons.empty() ? std::nullopt : std::optional(season);
        for (unsigned weekday = 0; weekday < 7; ++weekday) kinds.push_back({index, weekday, false});
        kinds.push_back({index, 0, true});
    }
    return kinds;
}

std::vector<Seconds> ends_of(const std::vector<Seconds>& begins) {
    std::vector<Seconds> ends(begins.begin() + 1, begins.end());
    ends.push_back(kDay);
    return ends;
}

}  // namespace

std::vector<Hole> holes(const Tariff& tariff) {
    std::vector<Hole> found;
    if (tariff.announced) return found;
    for (std::size_t r = 0; r < tariff.revisions.size(); ++r) {
        const auto begins = edges(tariff.revisions[r]);
        const auto ends = ends_of(begins);
        for (const DayKind& day : all_kinds(tariff)) {
            bool open = false;
            for (std::size_t i = 0; i < begins.size(); ++i) {
                const bool hole = window_at(tariff.revisions[r], day, begins[i]) == nullptr;
                if (hole && open) found.back().to = ends[i];
                if (hole && !open) found.push_back({r, day, begins[i], ends[i]});
                open = hole;
            }
        }
    }
    return found;
}

std::vector<Shadowed> shadowed(const Tariff& tariff) {
    std::vector<Shadowed> found;
    for (std::size_t r = 0; r < tariff.revisions.size(); ++r) {
        const Revision& revision = tariff.revisions[r];
        std::set<const Window*> seen;
        for (const DayKind& day : all_kinds(tariff)) {
            for (const Seconds at : edges(revision)) seen.insert(window_at(revision, day, at));
        }
        for (std::size_t w = 0; w < revision.windows.size(); ++w) {
            if (!seen.contains(&revision.windows[w])) found.push_back({r, w});
        }
    }
    return found;
}

std::vector<SeasonFault> season_faults(const Tariff& tariff) {
    std::vector<SeasonFault> found;
    if (tariff.seasons.empty()) return found;
    long before = 1;
    const date::sys_days first{date::year{2024} / 1 / 1};  // a leap year has every day
    for (date::sys_days day = first; day < first + date::days{366}; day += date::days{1}) {
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
