// From printed readings to a series without overlaps: which are kept, which are kept out, and what is told.
//
// Pure; call from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/quantity/money.hpp"
#include "core/time/energy_series.hpp"
#include "io/fault/fault_log.hpp"
#include "io/greenbutton/greenbutton.hpp"
#include "io/greenbutton/reading_type.hpp"

namespace lullwatt::io {

struct PrintedReading {
    Interval when;
    std::int64_t value = 0;
    std::optional<Money> cost;
    Quality quality = Quality::measured;
    int line = 0;
};

// Kept are readings in order of their beginning, of two alike the first printed. Kept out with its energy is
// one that lasts no time, one that begins before a kept one ends, and a negative one where the flow has no
// sign. A reading of another length than the type's is kept, as questionable. Register readings are read at
// the end of their time; their differences are kept, and one that went back leaves a gap.
[[nodiscard]] MeterSeries settle(std::vector<PrintedReading> printed, const ReadingType& type,
                                 FaultLog& faults, FaultLog& warnings);

}  // namespace lullwatt::io
