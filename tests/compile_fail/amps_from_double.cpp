#include "core/quantity/quantity.hpp"

using namespace lullwatt;

#ifdef BAD
[[maybe_unused]] const Amps current = 16.0;  // refused
#else
[[maybe_unused]] const Amps current = Amps(16.0);
#endif
