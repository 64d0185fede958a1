// What `lullwatt import` read, in words and as JSON.
//
// Pure functions; call from any thread.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "core/site/history.hpp"
#include "core/time/zone.hpp"
#include "io/fault/fault.hpp"
#include "io/greenbutton/greenbutton.hpp"

namespace lullwatt::tools {

struct Imported {
    site::MeterHistory history;  // at least one row
    io::Faults warnings;
    std::vector<io::KeptOut> kept_out;
    Zone clock;  // by which it is shown
};

// The first day by the clock, an hour a line, and what the whole comes to.
[[nodiscard]] std::string imported_text(const Imported& imported);

// What became of the readings: added, known before, disagreeing.
[[nodiscard]] std::string kept_text(const site::Merged& merged, const std::filesystem::path& file,
                                    bool written);

[[nodiscard]] std::string imported_json(const Imported& imported, const site::Merged& merged,
                                        const std::filesystem::path& file, bool written);

}  // namespace lullwatt::tools
