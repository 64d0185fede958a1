// Whole files in and out: read up to a stated size, and written so that a power cut leaves the old or the
// new.
//
// Functions without state; call from any thread.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "io/fault/fault.hpp"

namespace lullwatt::io {

// The bytes of a regular file. Faults: not there, not a regular file, larger than `largest`, not readable.
[[nodiscard]] Read<std::string> read_whole_file(const std::filesystem::path& file, std::uintmax_t largest);

// Why `bytes` are no text in UTF-8 or another code that keeps ASCII: nothing, an archive, UTF-16, or a
// control character with its place. `file` names them in the fault.
[[nodiscard]] std::optional<Fault> why_no_text(std::string_view bytes, const std::string& file);

// Writes beside `file`, syncs, and renames over it; the folder must exist. The fault says what failed, and
// `file` is then as it was.
[[nodiscard]] std::optional<Fault> replace_file(const std::filesystem::path& file, std::string_view bytes);

}  // namespace lullwatt::io
