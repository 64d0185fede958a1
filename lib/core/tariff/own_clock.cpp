#include "core/tariff/own_clock.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace lullwatt::tariff {
namespace {

date::sys_days day_of(const NthWeekday& rule, date::year year) {
    if (rule.n < 0) {
        // Counted from the end: the last is -1.
        const date::sys_days last{year / rule.month / date::weekday_last{rule.weekday}};
        return last - date::weeks{-rule.n - 1};
    }
    return date::sys_days{year / rule.month / rule.weekday[1]} + date::weeks{rule.n - 1};
}

Zone by_rule(const SummerTime& rule, Interval known) {
    constexpr Seconds kAhead{3600};
    const Interval wide{known.begin - date::days{400}, known.end + date::days{400}};
    const auto year_of = [](Instant at) { return CivilDate{date::floor<date::days>(at)}.year(); };
    std::vector<Zone::Change> changes = {{wide.begin, rule.offset, "standard"}};
    for (date::year year = year_of(wide.begin); year <= year_of(wide.end); ++year) {
        // Both by the clock as it stands: two o'clock standard time, two o'clock summer time.
        const Instant begins = day_of(rule.begins, year) + std::chrono::hours{2} - rule.offset;
        const Instant ends = day_of(rule.ends, year) + std::chrono::hours{2} - rule.offset - kAhead;
        if (wide.begin < begins) changes.push_back({begins, rule.offset + kAhead, "summer"});
        if (wide.begin < ends) changes.push_back({ends, rule.offset, "standard"});
    }
    std::ranges::sort(changes, {}, &Zone::Change::at);
    return {"own clock", std::move(changes), wide};
}

}  // namespace

std::optional<Zone> own_clock(const Tariff& tariff, Interval known) {
    if (const auto* offset = std::get_if<Seconds>(&tariff.clock)) return Zone::fixed(*offset);
    if (const auto* rule = std::get_if<SummerTime>(&tariff.clock)) return by_rule(*rule, known);
    return std::nullopt;
}

}  // namespace lullwatt::tariff
