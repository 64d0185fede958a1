// Interval data from a Green Button file: an Atom feed of NAESB ESPI objects (schema espi.xsd 3.3 and 4.0).
//
// Pure; call from any thread. What a file prints is either kept as a reading or listed as kept out with its
// energy: the two add up to what is printed, and nothing is counted twice.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/quantity/money.hpp"
#include "core/quantity/quantity.hpp"
#include "core/time/energy_series.hpp"
#include "core/time/instant.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::io {

// Which way the energy went, by ReadingType.flowDirection.
enum class Flow : std::uint8_t {
    unstated,   // absent or 0: told, and read as delivered
    delivered,  // 1: to the house
    received,   // 19: from the house
    net,        // 4: delivered less received, negative for export
    total,      // 20: delivered plus received
};

// LocalTimeParameters: for people. Instants in the file are UTC, so nothing is reckoned with it.
struct LocalTime {
    Seconds standard_offset{};  // east of UTC, without summer time
    Seconds summer_offset{};    // what summer time adds
};

// A printed reading that is not used, because using it would count time twice or invent some.
struct KeptOut {
    Interval when;
    MilliwattHours energy;
    std::optional<Money> cost;
    std::string why;
    int line = 0;
};

// What a UsageSummary says the whole of a period came to.
struct StatedTotal {
    Interval period;
    MilliwattHours energy;
};

struct MeterSeries {
    Flow flow = Flow::unstated;
    EnergySeries kept;
    std::vector<std::optional<Money>> costs;  // beside `kept`: printed cost, in 1e-5 of the currency
    std::string currency;           // ISO 4217 letters, or the number where it is not known; or empty
    std::vector<KeptOut> kept_out;  // readings of a register: none, its differences are `kept`
    Seconds interval{};             // ReadingType.intervalLength; 0 where it is not stated
    std::optional<StatedTotal> stated;
    Faults warnings;  // kept-out readings, gaps, odd lengths, blocks that misstate themselves
};

// One MeterReading with what it hangs on by links.
struct GreenButtonMeter {
    std::string usage_point;  // its own link
    std::string usage_point_title;
    std::string meter_reading;  // its own link
    std::string title;
    std::optional<LocalTime> local_time;
    Read<MeterSeries> series;  // a meter of another kind, such as gas, does not spoil the others
};

struct GreenButtonFile {
    std::vector<GreenButtonMeter> meters;  // in file order; not empty
    Faults warnings;                       // objects tied to nothing
};

// 64 MiB: five years of a priced reading each quarter hour take about half.
inline constexpr std::uintmax_t kLargestGreenButtonFile = 64ULL * 1024 * 1024;

// External entities are never fetched and internal ones never expanded: both stay text, which is no number.
[[nodiscard]] Read<GreenButtonFile> parse_green_button(std::string_view text, const std::string& file);
[[nodiscard]] Read<GreenButtonFile> read_green_button(const std::filesystem::path& file);

// The one meter `name` means: a usage point's or MeterReading's link, the end of one after a '/', or a title.
// Without a name the file's only meter. Faults: none or several.
[[nodiscard]] Read<std::size_t> choose_meter(const GreenButtonFile& feed, const std::string& file,
                                             const std::optional<std::string>& name);

}  // namespace lullwatt::io
