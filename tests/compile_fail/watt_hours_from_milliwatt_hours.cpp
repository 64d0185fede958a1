#include "core/quantity/quantity.hpp"

using namespace lullwatt;

#ifdef BAD
[[maybe_unused]] const WattHours whole = MilliwattHours(1500);  // refused
#else
[[maybe_unused]] const WattHours whole = nearest_watt_hours(MilliwattHours(1500));
[[maybe_unused]] const MilliwattHours exact = whole;
#endif
