// A JSON Schema (draft 2020-12) of a settings file, for editors that complete keys and mark mistakes as one
// types.
//
// Pure function; call from any thread.
#pragma once

#include <string>
#include <string_view>

#include "io/settings/option.hpp"

namespace lullwatt::io {

// It refuses unknown keys, words that are no choice and values without their unit. What `check` finds across
// keys it does not find.
[[nodiscard]] std::string json_schema(const Table& table, std::string_view title);

}  // namespace lullwatt::io
