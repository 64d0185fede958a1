#include "tools/lullwatt/time_option.hpp"

#include <sstream>
#include <variant>

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

std::optional<Instant> by_the_clock(CivilTime label, const Zone& zone) {
    const Instant near{label.time_since_epoch()};
    const Interval known = zone.known();
    if (near - date::days{2} < known.begin || near + date::days{2} > known.end) return std::nullopt;
    return zone.instant(label);
}

std::optional<Instant> next_time_of_day(Seconds of_day, const Zone& zone, Instant now) {
    if (of_day >= std::chrono::hours{24}) return std::nullopt;
    const auto today = date::floor<date::days>(zone.civil(now));
    for (const int days : {0, 1, 2}) {
        const Instant at = zone.instant(today + date::days{days} + of_day);
        if (at > now) return at;
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
    for (const char* pattern : {"%FT%R", "%F %R", "%FT%T", "%F %T"}) {
        if (const auto label = whole<CivilTime>(text, pattern)) return by_the_clock(*label, zone);
    }
    const auto of_day = io::parse_scalar({}, io::Kind::time_of_day, text);
    const auto* scalar = std::get_if<io::Scalar>(&of_day);
    return scalar == nullptr ? std::nullopt : next_time_of_day(std::get<Seconds>(*scalar), zone, now);
}

}  // namespace lullwatt::tools
