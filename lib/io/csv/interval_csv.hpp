// Meter readings from a table of comma-separated values, by a map that says what its columns mean.
//
// Pure; call from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/site/history.hpp"
#include "core/site/site.hpp"
#include "core/time/zone.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::io {

using CsvColumn = std::variant<std::size_t, std::string>;  // 1-based number, or the heading's text

enum class CsvUnit : std::uint8_t { kilowatt_hours, watt_hours, mean_kilowatts, mean_watts };

// Whether a row's label is the beginning or the end of its interval. No default: a wrong guess moves the
// whole load by an interval.
enum class LabelMeans : std::uint8_t { start, end };

struct CsvReadingColumn {
    CsvColumn column;
    std::optional<site::Leg> leg;  // none: the total
};

struct CsvMap {
    std::vector<CsvColumn> time;             // one, or date and time of day in two
    std::string time_pattern;                // strptime's letters; empty: ISO 8601
    std::vector<CsvReadingColumn> readings;  // one total, or one to three legs
    CsvUnit unit = CsvUnit::kilowatt_hours;
    std::optional<LabelMeans> label;     // energy and power; a register's label is the moment it was read
    bool is_register = false;            // the column counts up, and its differences are the energy
    std::optional<int> register_digits;  // before the decimal point; says where it rolls over
    bool may_be_negative = false;        // net of export; otherwise a negative reading is a fault
    char delimiter = ',';
    char decimal = '.';
    bool header = true;
    std::optional<Seconds> interval;  // stated; otherwise found from the labels
};

struct IntervalTable {
    site::MeterHistory history;  // its meter has no name yet
    Seconds interval{};          // of nearly all rows; gaps of a register make longer ones
    Faults warnings;             // gaps, missing values, registers that went back: read, but told
};

// All rows, or every fault. Labels are `clock`'s unless they carry an offset. In the hour a clock repeats the
// order of rows decides, the first pass being the earlier; rows may stand newest first throughout. A label
// the clock skips is a fault. Intervals are at most an hour, all alike, and their labels whole intervals
// apart. REQUIRES: map.time and map.readings of the sizes above; legs differ; map.label unless is_register; a
// register counts energy; delimiter and decimal differ.
[[nodiscard]] Read<IntervalTable> read_interval_csv(std::string_view text, const std::string& file,
                                                    const CsvMap& map, const Zone& clock);

// The headings, or "column 1", … where there is no header; empty for an empty text.
[[nodiscard]] std::vector<std::string> csv_headings(std::string_view text, char delimiter, bool header);

}  // namespace lullwatt::io
