#include "core/quantity/quantity.hpp"

using namespace lullwatt;

#ifdef BAD
[[maybe_unused]] const WholeAmps setpoint = Amps(16.5);  // refused
#else
[[maybe_unused]] const WholeAmps setpoint = floor_amps(Amps(16.5));
[[maybe_unused]] const Amps current = setpoint;
#endif
