// Reads a civil zone from the system's zone files, and refuses one whose files would be misread.
//
// The packaged `date` (3.0.1 and 3.0.3, Debian 12 and 13) ignores the rule at the end of a zone file, so it
// knows no summer time past the last transition the file lists (2037 in the fat files Debian ships; long past
// in slim ones). glibc honours that rule. A zone is read with the former, held against the latter, and
// continued by the latter past the last transition.
//
// Threads: glibc converts by one zone per process, taken from the environment variable TZ. load_zone sets it
// and puts it back, and keeps other load_zone calls out meanwhile; no other thread may touch the environment
// or convert local time then. Load before threads start. Both libraries read a zone file once per process: a
// change of the files is seen after a re-exec.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "core/time/zone.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::io {

// Where both libraries look. A TZDIR that names another folder is refused: `date` cannot follow it.
inline constexpr std::string_view kZoneDirectory = "/usr/share/zoneinfo";

// The zone `name` ("America/Halifax"), known over at least `needed` and two days to either side, so that the
// civil days and nights that touch it are whole. `now` begins the two years over which the files' transitions
// are held against the rule at their end; `needed` is held against it too, as far as the files list
// transitions. Faults: no such zone, a name that is no zone's, a file that is damaged or cannot be read,
// files of the slim form, times no rule covers, times outside 1900 to 2400. Their key is "zone", their file
// the zone's.
[[nodiscard]] Read<Zone> load_zone(const std::string& name, Interval needed, Instant now);

// The release of the zone data, such as "2025b", from the first line of tzdata.zi.
[[nodiscard]] Read<std::string> zone_data_version(const std::filesystem::path& directory = kZoneDirectory);

}  // namespace lullwatt::io
