// The frame of a zone file (RFC 8536): whether it is whole, and how far its own list of transitions reaches.
//
// Neither `date` nor glibc tells a damaged file from a good one: the former may crash, the latter says UTC.
// Values only; safe to use from any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "core/time/instant.hpp"

namespace lullwatt::io {

struct ZoneFile {
    std::optional<Instant> last_transition;  // none in the file of a clock that never changed
    std::string rule;  // what holds after it, as POSIX writes TZ; empty when nobody knows
};

// What is wrong with a file, to be read after its name: "is cut short".
struct Damage {
    std::string what;
};

// Reads the 64-bit part of the file's bytes (version 2 or later), which is the one both libraries use.
[[nodiscard]] std::variant<ZoneFile, Damage> parse_zone_file(std::string_view bytes);

}  // namespace lullwatt::io
