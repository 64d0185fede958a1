#include "io/zone/transitions.hpp"

#include <algorithm>

namespace lullwatt::io {
namespace {

using Reading = GlibcClock::Reading;

constexpr std::chrono::hours kDay{24};

Reading listed_reading(const date::sys_info& info) { return {info.offset, info.abbrev}; }

// The first instant after `same` at which the clock reads otherwise. REQUIRES: at `other` it does.
Instant turning_point(const GlibcClock& clock, Instant same, Instant other) {
    const Reading before = clock.at(same);
    while (other - same > Seconds{1}) {
        const Instant middle = same + (other - same) / 2;
        (clock.at(middle) == before ? same : other) = middle;
    }
    return other;
}

}  // namespace

Reading listed_at(const date::time_zone& listed, Instant at) { return listed_reading(listed.get_info(at)); }

std::optional<Instant> first_difference(const date::time_zone& listed, const GlibcClock& clock,
                                        Interval span) {
    for (Instant begin = span.begin; begin < span.end;) {
        const date::sys_info info = listed.get_info(begin);
        const Instant end = std::min<Instant>(info.end, span.end);
        for (Instant at = begin; at < end; at += kDay) {
            if (clock.at(at) != listed_reading(info)) return at;
        }
        if (const Instant last = end - Seconds{1}; clock.at(last) != listed_reading(info)) return last;
        begin = end;
    }
    return std::nullopt;
}

// A rule turns the clock at most twice a year, so a look a day misses no change.
std::vector<Zone::Change> changes_in(const date::time_zone& listed, const GlibcClock& clock, Interval known,
                                     Instant last_listed) {
    std::vector<Zone::Change> changes;
    const auto add = [&](Instant at, const Reading& now) {
        if (!changes.empty() && Reading{changes.back().offset, changes.back().abbreviation} == now) return;
        changes.push_back({at, now.offset, now.abbreviation});
    };
    for (Instant at = known.begin; at < std::min(known.end, last_listed);) {
        const date::sys_info info = listed.get_info(at);
        add(at, listed_reading(info));
        at = info.end;
    }
    Instant at = std::max(known.begin, last_listed);
    if (at < known.end) add(at, clock.at(at));
    while (at < known.end) {
        Instant next = std::min<Instant>(at + kDay, known.end);
        if (clock.at(next) != clock.at(at)) {
            next = turning_point(clock, at, next);
            add(next, clock.at(next));
        }
        at = next;
    }
    return changes;
}

}  // namespace lullwatt::io
