// What is said of a currency code that is none.
//
// Pure function; call from any thread.
#pragma once

#include "io/settings/section.hpp"

namespace lullwatt::io {

// A fault at `currency`, with the code that was meant where small letters or two letters in the wrong order
// tell it. REQUIRES: section.has("currency").
[[nodiscard]] Fault currency_fault(const Section& section);

}  // namespace lullwatt::io
