// A printed bill beside ours, in words and as JSON.
//
// Pure functions; call from any thread.
#pragma once

#include <string>

#include "core/account/printed.hpp"
#include "tools/lullwatt/bill_text.hpp"

namespace lullwatt::tools {

[[nodiscard]] std::string printed_text(const account::Comparison& comparison, const account::Bill& bill,
                                       const BillWords& words);
[[nodiscard]] std::string printed_json(const account::Comparison& comparison, const account::Bill& bill,
                                       const BillWords& words);

}  // namespace lullwatt::tools
