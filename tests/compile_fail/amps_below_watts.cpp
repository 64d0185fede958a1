#include "core/quantity/quantity.hpp"

using namespace lullwatt;

#ifdef BAD
[[maybe_unused]] const bool less = Amps(16) < Watts(3680);  // refused
#else
[[maybe_unused]] const bool less = Amps(16) < Amps(32);
#endif
