// Files tests read: those committed beside them, and larger samples a contributor may have at hand.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>
#include <string>

#include "support/catch.hpp"

namespace lullwatt::tests {

// A file under tests/.
inline std::filesystem::path committed(const std::string& name) {
    return std::filesystem::path(LULLWATT_SOURCE_DIR) / "tests" / name;
}

// A file of the folder that LULLWATT_SAMPLES names; empty when it is unset or has no such file. A case
// without its sample ends with SKIP_CASE.
inline std::optional<std::filesystem::path> sample(const std::string& name) {
    const char* folder = std::getenv("LULLWATT_SAMPLES");
    if (folder == nullptr || *folder == '\0') return std::nullopt;
    const auto file = std::filesystem::path(folder) / name;
    if (!std::filesystem::exists(file)) return std::nullopt;
    return file;
}

inline std::string bytes_of(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream bytes;
    bytes << stream.rdbuf();
    REQUIRE(stream.good());
    return bytes.str();
}

}  // namespace lullwatt::tests
