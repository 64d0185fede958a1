// What an ESPI ReadingType's codes mean, and which of them can be read as a house's energy.
//
// Pure; call from any thread. Codes: NAESB ESPI schema, naesb-espi.xsd of 2020-03-20.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "core/quantity/quantity.hpp"
#include "core/time/energy_series.hpp"
#include "core/time/instant.hpp"
#include "io/fault/fault_log.hpp"
#include "io/greenbutton/greenbutton.hpp"

namespace lullwatt::io {

// As printed; empty where the element is absent.
struct ReadingTypeCodes {
    std::optional<std::int64_t> accumulation;
    std::optional<std::int64_t> currency;
    std::optional<std::int64_t> default_quality;
    std::optional<std::int64_t> flow;
    std::optional<std::int64_t> interval_length;
    std::optional<std::int64_t> multiplier;  // power of ten
    std::optional<std::int64_t> qualifier;
    std::optional<std::int64_t> unit;
    int line = 0;
};

enum class ReadingForm : std::uint8_t { energy, mean_power, energy_register };

struct ReadingType {
    ReadingForm form = ReadingForm::energy;
    Flow flow = Flow::unstated;
    int power_of_ten = 0;
    Seconds interval{};  // 0: not stated
    Quality default_quality = Quality::measured;
    std::string currency;
};

// Empty with a fault for each code that cannot be read; codes worth a word go to `warnings`.
[[nodiscard]] std::optional<ReadingType> reading_type(const ReadingTypeCodes& codes, FaultLog& faults,
                                                      FaultLog& warnings);

// Empty for a code that is none.
[[nodiscard]] std::optional<Quality> quality_of(std::int64_t code);

// A printed value as energy. `over` counts for mean power only. Empty when it is more than a gigawatt-hour,
// which no house uses between two readings.
[[nodiscard]] std::optional<MilliwattHours> energy_of(std::int64_t value, const ReadingType& type,
                                                      Seconds over);

// −12 to 12, as the schema lists them.
[[nodiscard]] bool is_power_of_ten(std::int64_t multiplier);

}  // namespace lullwatt::io
