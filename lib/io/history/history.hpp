// The file a meter's readings are kept in, one per meter in a site's history folder (docs/history-format.md).
//
// Pure but for the two functions that name a file; call from any thread.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "core/site/history.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::io {

// A meter's name is its file's name too: 1 to 40 of a-z, 0-9 and '-', not '-' first.
[[nodiscard]] bool is_meter_name(std::string_view name);

[[nodiscard]] std::string history_text(const site::MeterHistory& history);
// Every malformed row is a fault, and so is one that does not begin where or after the row above it ends.
[[nodiscard]] Read<site::MeterHistory> parse_history(std::string_view text, const std::string& file);

// Up to 256 MiB: ten years of a reading a minute on three legs.
[[nodiscard]] Read<site::MeterHistory> read_history(const std::filesystem::path& file);

struct Kept {
    site::Merged merged;  // what the file now holds, and what of the offered readings it already held
    bool written = false;
};
// Adds `offered` to `folder`/<meter>.csv, which is made where it is missing; a reading that is there stays as
// it is (site::merge). Nothing is written when nothing is new. Two calls for one meter at once are the
// caller's to avoid. Faults: a file that is no history of this meter, or of other legs; what replace_file may
// meet.
[[nodiscard]] Read<Kept> keep_history(const std::filesystem::path& folder, const site::MeterHistory& offered);

// The same without writing.
[[nodiscard]] Read<Kept> try_history(const std::filesystem::path& folder, const site::MeterHistory& offered);

}  // namespace lullwatt::io
