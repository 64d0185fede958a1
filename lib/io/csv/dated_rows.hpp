// The first half of reading a table of intervals: which instant each row names and what its cells say.
//
// Pure; call from any thread. Its second half is interval_csv.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "core/time/zone.hpp"
#include "io/csv/interval_csv.hpp"
#include "io/fault/fault_log.hpp"

namespace lullwatt::io {

struct DatedRow {
    Instant at;  // what the label names
    std::string label;
    int line = 0;
    int label_column = 0;
    // In the order of CsvMap::readings, in 1e-9 of the unit; only the first map.readings.size() count.
    std::array<std::int64_t, 3> counts{};
    std::array<int, 3> columns{};
    std::array<std::string, 3> written;
};

struct DatedRows {
    std::vector<DatedRow> rows;               // strictly ascending by `at`
    std::array<std::string, 3> reading_keys;  // what faults call the reading columns
    std::string time_key;
};

// Rows with a fault or without a value are left out; the first are told in `faults`, the others in
// `warnings`.
[[nodiscard]] DatedRows read_dated_rows(std::string_view text, const CsvMap& map, const Zone& clock,
                                        FaultLog& faults, FaultLog& warnings);

}  // namespace lullwatt::io
