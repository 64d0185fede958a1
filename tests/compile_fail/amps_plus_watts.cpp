#include "core/quantity/quantity.hpp"

using namespace lullwatt;

#ifdef BAD
[[maybe_unused]] const auto sum = Amps(16) + Watts(3680);  // refused
#else
[[maybe_unused]] const auto sum = Amps(16) + Amps(10);
#endif
