#include "core/time/zone.hpp"

#include <algorithm>
#include <cassert>
#include <limits>
#include <utility>

#include <date/date.h>

namespace lullwatt {
namespace {

std::string offset_name(Seconds offset) {
    const char sign = offset < Seconds{0} ? '-' : '+';
    const auto minutes = std::chrono::abs(std::chrono::duration_cast<std::chrono::minutes>(offset)).count();
    const auto two = [](long long n) { return std::string(n < 10 ? "0" : "") + std::to_string(n); };
    return std::string("UTC") + sign + two(minutes / 60) + ":" + two(minutes % 60);
}

// A label written as seconds, before any offset is taken from it.
Instant as_if_utc(CivilTime label) { return Instant{label.time_since_epoch()}; }

}  // namespace

Zone::Zone(std::string name, std::vector<Change> changes, Interval known)
    : name_(std::move(name)), changes_(std::move(changes)), known_(known) {
    assert(!changes_.empty() && changes_.front().at <= known_.begin);
    assert(std::ranges::is_sorted(changes_, {}, &Change::at));
}

Zone Zone::fixed(Seconds offset) {
    assert(std::chrono::abs(offset) < std::chrono::hours{24});
    const Instant always{date::sys_days{date::year{1900} / 1 / 1}};
    const Instant forever{date::sys_days{date::year{2400} / 1 / 1}};
    const std::string name = offset_name(offset);
    return {name, {{always, offset, name}}, {always, forever}};
}

const Zone::Change& Zone::change_at(Instant at) const {
    assert(known_.contains(at));
    const auto after = std::ranges::upper_bound(changes_, at, {}, &Change::at);
    return *std::prev(after);
}

Seconds Zone::offset_at(Instant at) const { return change_at(at).offset; }

const std::string& Zone::abbreviation_at(Instant at) const { return change_at(at).abbreviation; }

CivilTime Zone::civil(Instant at) const { return CivilTime{(at + offset_at(at)).time_since_epoch()}; }

std::vector<Instant> Zone::instants(CivilTime label) const {
    std::vector<Instant> found;
    const Instant guess = as_if_utc(label);
    for (auto change = changes_.begin(); change != changes_.end(); ++change) {
        const Instant at = guess - change->offset;
        const bool before_next = std::next(change) == changes_.end() || at < std::next(change)->at;
        if (change->at <= at && before_next && known_.contains(at)) found.push_back(at);
    }
    return found;
}

Instant Zone::instant(CivilTime label) const {
    if (const auto exact = instants(label); !exact.empty()) return exact.front();
    // Skipped: the change that skipped it is the first whose own label lies beyond this one.
    const auto beyond = std::ranges::find_if(
        changes_, [&](const Change& change) { return as_if_utc(label) < change.at + change.offset; });
    assert(beyond != changes_.end());
    return beyond->at;
}

Instant Zone::next_change(Instant at) const {
    const auto after = std::ranges::upper_bound(changes_, at, {}, &Change::at);
    return after == changes_.end() ? known_.end : std::min(after->at, known_.end);
}

Interval civil_day(const Zone& zone, CivilDate date) {
    const date::local_days day{date};
    return {zone.instant(day), zone.instant(day + date::days{1})};
}

Interval night(const Zone& zone, CivilDate evening) {
    const date::local_days day{evening};
    const std::chrono::hours noon{12};
    return {zone.instant(day + noon), zone.instant(day + date::days{1} + noon)};
}

}  // namespace lullwatt
