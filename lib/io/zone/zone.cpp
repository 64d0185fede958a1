#include "io/zone/zone.hpp"

#include <algorithm>
#include <cassert>
#include <cctype>
#include <cerrno>
#include <cstdlib>
#include <exception>
#include <fstream>
#include <iterator>
#include <optional>
#include <system_error>
#include <utility>
#include <variant>
#include <vector>

#include <date/tz.h>
#include <fmt/format.h>

#include "io/zone/glibc_clock.hpp"
#include "io/zone/transitions.hpp"
#include "io/zone/zone_file.hpp"

namespace lullwatt::io {
namespace {

namespace fs = std::filesystem;

constexpr std::chrono::hours kMargin{48};
constexpr std::chrono::hours kTwoYears{24 * 731};
constexpr Interval kSupported{Instant{date::sys_days{date::year{1901} / 1 / 1}},
                              Instant{date::sys_days{date::year{2400} / 1 / 1}}};

constexpr const char* kReinstall = "install the package tzdata anew: apt-get install --reinstall tzdata";

fs::path file_of(const std::string& name) { return fs::path(kZoneDirectory) / name; }

Fault zone_fault(const std::string& name, std::string what, std::string allowed, std::string mend) {
    Fault fault;
    fault.file = std::string(kZoneDirectory);
    fault.key = "zone";
    fault.value = name;
    fault.what = std::move(what);
    fault.allowed = std::move(allowed);
    fault.mend = std::move(mend);
    return fault;
}

Fault file_fault(const std::string& name, std::string what, std::string allowed, std::string mend) {
    Fault fault = zone_fault(name, std::move(what), std::move(allowed), std::move(mend));
    fault.file = file_of(name).string();
    return fault;
}

// A relative path of plain names, so that nothing outside the zone directory can be meant.
bool is_zone_name(const std::string& name) {
    const auto plain = [](unsigned char c) {
        return std::isalnum(c) != 0 || c == '_' || c == '-' || c == '+';
    };
    bool inside = false;  // a part of the path that has begun
    for (const char c : name) {
        if (c == '/' ? !inside : !plain(static_cast<unsigned char>(c))) return false;
        inside = c != '/';
    }
    // "localtime" is whatever this server is set to; the other two folders are other ways to count time.
    return inside && name != "localtime" && !name.starts_with("right/") && !name.starts_with("posix/");
}

// The zone whose name differs in capitals only, as people write them.
std::string lowered(std::string text) {
    std::ranges::transform(text, text.begin(), [](unsigned char c) { return std::tolower(c); });
    return text;
}

std::string same_but_for_capitals(const std::string& name) {
    const auto& zones = date::get_tzdb().zones;
    const auto found = std::ranges::find_if(
        zones, [wanted = lowered(name)](const auto& zone) { return lowered(zone.name()) == wanted; });
    return found == zones.end() ? std::string{} : found->name();
}

std::optional<Fault> directory_fault(const std::string& name) {
    std::error_code error;
    if (!fs::is_directory(kZoneDirectory, error)) {
        return zone_fault(name,
                          "cannot be looked up: there is no zone data at " + std::string(kZoneDirectory), "",
                          "install the package tzdata: apt-get install tzdata");
    }
    const fs::directory_iterator listed(kZoneDirectory, error);
    if (error) {
        return zone_fault(name, "cannot be looked up: the folder cannot be read, " + error.message(), "",
                          fmt::format("give everyone the right to read it: chmod a+rx {}", kZoneDirectory));
    }
    const char* other = std::getenv("TZDIR");
    if (other != nullptr && *other != '\0' && !fs::equivalent(other, kZoneDirectory, error)) {
        Fault fault =
            zone_fault(other, "names another folder of zone files, which only half of the libraries follow",
                       std::string(kZoneDirectory), "unset TZDIR for this program");
        fault.key = "TZDIR";
        return fault;
    }
    return std::nullopt;
}

std::variant<ZoneFile, Fault> read_zone_file(const std::string& name) {
    const fs::path path = file_of(name);
    std::error_code error;
    if (!fs::is_regular_file(path, error)) {
        const std::string meant = same_but_for_capitals(name);
        return zone_fault(name, "is no zone known here", "the names 'timedatectl list-timezones' lists",
                          meant.empty()
                              ? "write continent and city, such as 'America/Halifax'; old names such as "
                                "'US/Eastern' may need the package tzdata-legacy"
                              : fmt::format("write '{}'", meant));
    }
    std::ifstream in(path, std::ios::binary);
    if (!in) {
        const std::string why = std::generic_category().message(errno);
        return file_fault(name, "cannot be read: " + why, "",
                          "give everyone the right to read the file: chmod a+r");
    }
    const std::string bytes{std::istreambuf_iterator<char>(in), {}};
    auto parsed = parse_zone_file(bytes);
    if (auto* damage = std::get_if<Damage>(&parsed)) {
        return file_fault(name, "cannot be used: its file " + damage->what,
                          "a zone file of version 2 or later, without leap seconds", kReinstall);
    }
    return std::get<ZoneFile>(std::move(parsed));
}

std::string in_words(const GlibcClock::Reading& reading) {
    return reading.abbreviation + " (" + Zone::fixed(reading.offset).name() + ")";
}

Read<Zone> build_zone(const std::string& name, const ZoneFile& file, Interval known, Instant now) {
    const Instant last_listed = file.last_transition.value_or(Instant::min());
    if (file.rule.empty() && last_listed < known.end) {
        return Faults{file_fault(name,
                                 "is not known after its last transition, and its file has no rule for later",
                                 "", kReinstall)};
    }
    const date::time_zone& listed = *date::locate_zone(name);
    const GlibcClock clock(file_of(name));
    for (const Interval span :
         {Interval{now, now + kTwoYears}, Interval{known.begin, std::min(known.end, last_listed)}}) {
        const auto at = first_difference(listed, clock, span);
        if (!at) continue;
        return Faults{file_fault(
            name,
            fmt::format("would be misread: at {} the transitions its file lists say {}, the C library, which "
                        "heeds the rule at its end, says {}",
                        date::format("%FT%TZ", *at), in_words(listed_at(listed, *at)),
                        in_words(clock.at(*at))),
            "zone files of the fat form, whose list reaches two years ahead, as Debian's package tzdata has "
            "them",
            fmt::format("{}; files made by hand need 'zic -b fat'", kReinstall))};
    }
    return Zone(name, changes_in(listed, clock, known, last_listed), known);
}

}  // namespace

Read<Zone> load_zone(const std::string& name, Interval needed, Instant now) {
    assert(needed.begin <= needed.end);
    if (!is_zone_name(name)) {
        return Faults{
            zone_fault(name, name.empty() ? "is empty" : "is not the name of a zone",
                       "continent and city of the zone database: letters, digits, '_', '-', '+' and '/'",
                       "write a name such as 'America/Halifax' or 'Europe/Stockholm'")};
    }
    if (needed.begin < kSupported.begin || kSupported.end < needed.end || !kSupported.contains(now)) {
        return Faults{zone_fault(name, "is asked for times out of reach", "years 1901 to 2399",
                                 "correct the date that was given, or this computer's clock")};
    }
    const Interval known{needed.begin - kMargin, needed.end + kMargin};
    if (auto fault = directory_fault(name)) return Faults{*std::move(fault)};
    try {
        auto file = read_zone_file(name);
        if (auto* fault = std::get_if<Fault>(&file)) return Faults{std::move(*fault)};
        return build_zone(name, std::get<ZoneFile>(file), known, now);
    } catch (const std::exception& failure) {  // how `date` says that it cannot read the folder or the zone
        return Faults{zone_fault(name, fmt::format("cannot be loaded: {}", failure.what()), "", kReinstall)};
    }
}

Read<std::string> zone_data_version(const fs::path& directory) {
    constexpr std::string_view kMark = "# version ";
    const fs::path path = directory / "tzdata.zi";
    std::ifstream in(path);
    std::string line;
    if (std::getline(in, line) && line.starts_with(kMark) && line.size() > kMark.size()) {
        return line.substr(kMark.size());
    }
    Fault fault;
    fault.file = path.string();
    fault.what = in.is_open() ? "does not begin with its version"
                              : "cannot be read, so the release of the zone data "
                                "is not known";
    fault.allowed = in.is_open() ? "a first line such as '# version 2025b'" : "";
    fault.mend = kReinstall;
    return Faults{fault};
}

}  // namespace lullwatt::io
