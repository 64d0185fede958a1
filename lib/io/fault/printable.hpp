// What came from outside, made fit to be shown: no terminal escape gets through, and all of it is UTF-8.
//
// Pure function; call from any thread.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace lullwatt::io {

// Control characters, marks that turn the direction of writing and bytes that are no UTF-8 become "\x1B", a
// line's end "\n"; "…" stands for what is beyond `most` characters.
[[nodiscard]] std::string printable(std::string_view bytes, std::size_t most);

}  // namespace lullwatt::io
