#include "core/site/timed_ceiling.hpp"

#include <algorithm>

namespace lullwatt::site {
namespace {

bool begins_on(const TimedCeiling& ceiling, date::local_days day) {
    return ceiling.days[date::weekday{day}.c_encoding()];
}

void least_of(std::optional<Amps>& least, Amps most) { least = least ? std::min(*least, most) : most; }

}  // namespace

bool in_force(const TimedCeiling& ceiling, CivilTime label) {
    const auto day = date::floor<date::days>(label);
    const Seconds time_of_day = label - day;
    if (ceiling.from < ceiling.to)
        return begins_on(ceiling, day) && ceiling.from <= time_of_day && time_of_day < ceiling.to;
    return (begins_on(ceiling, day) && ceiling.from <= time_of_day) ||
           (begins_on(ceiling, day - date::days{1}) && time_of_day < ceiling.to);
}

std::optional<Amps> least_within(const TimedCeilings& ceilings, Interval when, const Zone& zone) {
    std::optional<Amps> least;
    if (ceilings.empty()) return least;
    const auto look = [&](Instant at) {
        const CivilTime label = zone.civil(at);
        for (const TimedCeiling& ceiling : ceilings) {
            if (in_force(ceiling, label)) least_of(least, ceiling.most);
        }
    };
    look(when.begin);
    for (const Instant at : may_change(ceilings, when, zone)) look(at);
    return least;
}

std::optional<Amps> least_ever(const TimedCeilings& ceilings) {
    std::optional<Amps> least;
    for (const TimedCeiling& ceiling : ceilings) least_of(least, ceiling.most);
    return least;
}

std::vector<Instant> may_change(const TimedCeilings& ceilings, Interval span, const Zone& zone) {
    std::vector<Instant> found;
    if (ceilings.empty()) return found;
    const auto add = [&](Instant at) {
        if (span.begin < at && at < span.end) found.push_back(at);
    };
    // A day on either side: a clock may change by as much.
    const auto first = date::floor<date::days>(zone.civil(span.begin)) - date::days{1};
    const auto last = first + std::chrono::ceil<date::days>(span.length()) + date::days{3};
    for (auto day = first; day <= last; day += date::days{1}) {
        for (const TimedCeiling& ceiling : ceilings) {
            for (const Seconds time_of_day : {ceiling.from, ceiling.to}) {
                for (const Instant at : zone.instants(day + time_of_day)) add(at);
            }
        }
    }
    for (Instant at = zone.next_change(span.begin); at < span.end; at = zone.next_change(at)) add(at);
    std::ranges::sort(found);
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

bool overlap(const TimedCeiling& one, const TimedCeiling& other) {
    // Where two stretches meet, one of them begins.
    constexpr date::local_days kSunday{date::days{3}};  // 1970-01-04
    for (int day = 0; day < 7; ++day) {
        const date::local_days at = kSunday + date::days{day};
        if (begins_on(one, at) && in_force(other, at + one.from)) return true;
        if (begins_on(other, at) && in_force(one, at + other.from)) return true;
    }
    return false;
}

}  // namespace lullwatt::site
