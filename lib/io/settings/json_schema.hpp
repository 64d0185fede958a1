// The option table as a JSON Schema, by which an editor completes, explains and checks a settings file.
//
// Pure function; call from any thread.
#pragma once

#include <string>
#include <string_view>

#include "io/settings/option.hpp"

namespace lullwatt::io {

// Draft 2020-12 (json-schema.org), for YAML 1.2 as editors read it: `25 A`, `23:00` and dates are texts
// there, `0.13` is a number, `yes` a text or a truth. It accepts whatever the table accepts, but for odd
// spellings such as `+07:00` hours; ranges of values with a unit, and rules across keys, are left to reading
// the file.
[[nodiscard]] std::string json_schema(const Table& table, std::string_view title);

}  // namespace lullwatt::io
