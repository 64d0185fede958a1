// Prices announced hour by hour (or by the quarter), from a file of two columns: `start,price`.
#pragma once

#include <filesystem>
#include <optional>
#include <vector>

#include "core/tariff/tariff.hpp"
#include "io/fault/fault.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

struct AnnouncedFormat {
    Seconds every{3600};                // how long each price holds
    bool per_megawatt_hour = false;     // else per kilowatt-hour
    std::optional<Rate> implausible{};  // a price from here on asks whether its unit is right
};

// As the tariff file says of its prices.
[[nodiscard]] AnnouncedFormat announced_format(const Section& tariff);

// First line `start,price`; then an instant with 'Z' or an offset ("2026-10-25T02:00+02:00") and a price.
// Each price holds for `format.every`; rows ascend and stand at least that far apart. What lies between them
// is not announced.
[[nodiscard]] Read<std::vector<tariff::AnnouncedPrice>> read_announced_prices(
    const std::filesystem::path& file, const AnnouncedFormat& format);

// What a person should know of such a file on a day: prices that have ended or end within 36 hours of the
// day's begin, rows that are missing, rows that stand further apart than each holds. With line and mend; they
// refuse nothing. REQUIRES: read_announced_prices accepts `file`.
[[nodiscard]] Faults announced_price_notices(const std::filesystem::path& file, const AnnouncedFormat& format,
                                             CivilDate today);

}  // namespace lullwatt::io
