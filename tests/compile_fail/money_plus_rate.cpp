#include "core/quantity/money.hpp"

using namespace lullwatt;

#ifdef BAD
[[maybe_unused]] const auto sum = Money(1) + Rate(2);  // refused
#else
[[maybe_unused]] const auto sum = Money(1) + Money(2);
#endif
