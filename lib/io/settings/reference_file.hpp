// The commented reference of a settings file, written from its option table.
//
// Pure function; call from any thread.
#pragma once

#include <string>

#include "io/settings/option.hpp"

namespace lullwatt::io {

// Every key in the table's order: what a readable file needs with its sample, the rest commented out at its
// default; behind each what is allowed and what it does. Itself a readable file.
[[nodiscard]] std::string reference_text(const Table& table);

}  // namespace lullwatt::io
