#include "tools/lullwatt/time_option.hpp"

#include <sstream>
#include <variant>
#include <vector>

#include <date/date.h>

#include "io/settings/scalar.hpp"

namespace lullwatt::tools {
namespace {

// Parses the whole of `text` by one pattern of date's.
template <class Value>
std::optional<Value> whole(const std::string& text, const char* pattern) {
    std::istringstream stream(text);
    Value value;
    stream >> date::parse(pattern, value);
    if (stream.fail() || stream.peek() != std::istringstream::traits_type::eof()) return std::nullopt;
    return value;
}

std::optional<CivilTime> known_label(CivilTime label, const Zone& zone) {
    const Instant near{label.time_since_epoch()};
    const Interval known = zone.known();
    if (near - date::days{2} < known.begin || near + date::days{2} > known.end) return std::nullopt;
    return label;
}

std::optional<CivilTime> next_time_of_day(Seconds of_day, const Zone& zone, Instant now) {
    if (of_day >= std::chrono::hours{24}) return std::nullopt;
    const auto today = date::floor<date::days>(zone.civil(now));
    for (const int days : {0, 1, 2}) {
        const CivilTime label = today + date::days{days} + of_day;
        if (zone.instant(label) > now) return label;
    }
    return std::nullopt;
}

}  // namespace

std::optional<Instant> parse_time(const std::string& text, const Zone& zone, Instant now) {
    for (const char* pattern : {"%FT%RZ", "%FT%TZ"}) {
        if (const auto at = whole<Instant>(text, pattern)) return at;
    }
    for (const char* pattern : {"%FT%R%Ez", "%FT%T%Ez"}) {
        if (const auto at = whole<Instant>(text, pattern)) return at;
    }
    const auto label = parse_label(text, zone, now);
    return label ? std::optional(zone.instant(*label)) : std::nullopt;
}

std::optional<CivilTime> parse_label(const std::string& text, const Zone& zone, Instant now) {
    for (const char* pattern : {"%FT%R", "%F %R", "%FT%T", "%F %T"}) {
        if (const auto label = whole<CivilTime>(text, pattern)) return known_label(*label, zone);
    }
    const auto of_day = io::parse_scalar({}, io::Kind::time_of_day, text);
    const auto* scalar = std::get_if<io::Scalar>(&of_day);
    return scalar == nullptr ? std::nullopt : next_time_of_day(std::get<Seconds>(*scalar), zone, now);
}

std::optional<TimeWithin> parse_time_within(const std::string& text, const Zone& zone, Interval span) {
    constexpr std::chrono::hours kLongestRepeat{3};  // no clock is put back by more
    const auto earlier = parse_label(text, zone, span.begin - kLongestRepeat);
    const auto both = earlier ? zone.instants(*earlier) : std::vector<Instant>{};
    if (both.size() > 1 && both.front() < span.begin && span.begin <= both.back() && both.back() < span.end)
        return TimeWithin{both.back(), earlier};
    const Instant before = span.begin - Seconds{1};
    const auto at = parse_time(text, zone, before);
    return at ? std::optional(TimeWithin{*at, parse_label(text, zone, before)}) : std::nullopt;
}

}  // namespace lullwatt::tools
