// Prices announced hour by hour (or by the quarter), from a file of two columns: `start,price`.
#pragma once

#include <filesystem>
#include <vector>

#include "core/tariff/tariff.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::io {

// First line `start,price`; then an instant with 'Z' or an offset ("2026-10-25T02:00+02:00") and a price per
// kWh. A price holds until the next row, at most for an hour; the last one as long as the one before it. Rows
// ascend.
[[nodiscard]] Read<std::vector<tariff::AnnouncedPrice>> read_announced_prices(
    const std::filesystem::path& file);

}  // namespace lullwatt::io
