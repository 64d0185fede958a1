// One seed for all properties, unless RC_PARAMS says otherwise; a failure prints it with what it shrank to.
#include <cstdlib>

#include "support/sanitized.hpp"

namespace {

[[maybe_unused]] const int kFixed =
    setenv("RC_PARAMS", lullwatt::tests::kSanitized ? "seed=20261101 max_success=40" : "seed=20261101", 0);

}  // namespace
