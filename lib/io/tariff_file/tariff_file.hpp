// Reads a tariff from its YAML file (docs/tariff-format.md), with all that is wrong with it.
//
// Call from any thread.
#pragma once

#include <filesystem>
#include <string>

#include "core/tariff/tariff.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::io {

// Faults: what the option table refuses; hours no window prices, windows that never count, seasons with gaps,
// revisions out of order, rates of the wrong magnitude; a file of announced prices that cannot be read.
[[nodiscard]] Read<tariff::Tariff> read_tariff_file(const std::filesystem::path& file);

// The same from text. Other files are looked for in `folder`.
[[nodiscard]] Read<tariff::Tariff> read_tariff_text(const std::string& text, const std::string& name,
                                                    const std::filesystem::path& folder);

}  // namespace lullwatt::io
