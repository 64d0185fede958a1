#include "core/time/instant.hpp"

using namespace lullwatt;

#ifdef BAD
[[maybe_unused]] const Instant at = CivilTime{Seconds{1}};  // refused
#else
[[maybe_unused]] const Instant at = Instant{Seconds{1}};
#endif
