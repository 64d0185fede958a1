// Classes of days that a utility announces the day before, and the file they are announced in.
#pragma once

#include <filesystem>
#include <optional>
#include <vector>

#include "core/tariff/tariff.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// The file's `day_classes`, with what `announced_from` has announced; none where the file has none. Adds
// faults of both files.
[[nodiscard]] std::optional<tariff::DayClasses> read_day_classes(const Section& file,
                                                                 const std::filesystem::path& folder,
                                                                 Faults& faults);

// Indices of the names in a window's list `classes`.
[[nodiscard]] std::vector<std::size_t> class_indices(const Section& window, const tariff::Tariff& tariff,
                                                     Faults& faults);

}  // namespace lullwatt::io
