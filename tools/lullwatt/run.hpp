// The `lullwatt` command line as a function, so that tests run it as a user's shell would.
#pragma once

#include <cstdint>
#include <iosfwd>
#include <string>
#include <vector>

namespace lullwatt::tools {

// 0 done; 1 the answer is a refusal or a fault in what was read; 2 the command line itself is wrong.
enum class Exit : std::uint8_t { done = 0, refused = 1, usage = 2 };

// Runs one command. `arguments` without the program's name. A command may ask a question on `in` when
// `interactive`; where it may not and an answer is missing, that is an error. What takes long shows its
// progress on `err` when `watched`.
[[nodiscard]] Exit run(std::vector<std::string> arguments, std::istream& in, std::ostream& out,
                       std::ostream& err, bool interactive, bool watched = false);

}  // namespace lullwatt::tools
