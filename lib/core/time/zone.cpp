#include "core/time/zone.hpp"

#include <algorithm>
#include <cassert>
#include <functional>
#include <iterator>
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

// No offset reaches so far; a label's instants lie within it of the label read as UTC.
constexpr std::chrono::hours kFarthest{24};

// A label written as seconds, before any offset is taken from it.
Instant as_if_utc(CivilTime label) { return Instant{label.time_since_epoch()}; }

}  // namespace

Zone::Zone(std::string name, std::vector<Change> changes, Interval known)
    : name_(std::move(name)), changes_(std::move(changes)), known_(known) {
    assert(!changes_.empty() && changes_.front().at <= known_.begin);
    assert(std::ranges::adjacent_find(changes_, std::greater_equal{}, &Change::at) == changes_.end());
    assert(std::ranges::all_of(
        changes_, [](const Change& change) { return std::chrono::abs(change.offset) < kFarthest; }));
}

Zone Zone::fixed(Seconds offset) {
    assert(std::chrono::abs(offset) < kFarthest);
    const Instant always{date::sys_days{date::year{1900} / 1 / 1}};
    const Instant forever{date::sys_days{date::year{2400} / 1 / 1}};
    const std::string name = offset_name(offset);
    return {name, {{always, offset, name}}, {always, forever}};
}

// The change in force at `at`, or the first one where `at` lies before it.
Zone::Changes::const_iterator Zone::in_force(Instant at) const {
    const auto after = std::ranges::upper_bound(changes_, at, {}, &Change::at);
    return after == changes_.begin() ? after : std::prev(after);
}

const Zone::Change& Zone::change_at(Instant at) const {
    assert(known_.contains(at));
    return *in_force(at);
}

Seconds Zone::offset_at(Instant at) const { return change_at(at).offset; }

const std::string& Zone::abbreviation_at(Instant at) const { return change_at(at).abbreviation; }

CivilTime Zone::civil(Instant at) const { return CivilTime{(at + offset_at(at)).time_since_epoch()}; }

std::vector<Instant> Zone::instants(CivilTime label) const {
    std::vector<Instant> found;
    const Instant guess = as_if_utc(label);
    for (auto change = in_force(guess - kFarthest);
         change != changes_.end() && change->at <= guess + kFarthest; ++change) {
        const Instant at = guess - change->offset;
        const bool before_next = std::next(change) == changes_.end() || at < std::next(change)->at;
        if (change->at <= at && before_next && known_.contains(at)) found.push_back(at);
    }
    return found;
}

Instant Zone::instant(CivilTime label) const {
    if (const auto exact = instants(label); !exact.empty()) return exact.front();
    // Skipped: by the first change after which the clock reads more than the label.
    const Instant guess = as_if_utc(label);
    const auto skips = std::find_if(in_force(guess - kFarthest), changes_.end(),
                                    [&](const Change& change) { return guess < change.at + change.offset; });
    assert(skips != changes_.begin() && skips != changes_.end() && known_.contains(skips->at));
    assert(skips->at + std::prev(skips)->offset <= guess);
    return skips->at;
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
