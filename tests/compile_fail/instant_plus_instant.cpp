#include "core/time/instant.hpp"

using namespace lullwatt;

#ifdef BAD
[[maybe_unused]] const auto sum = Instant{Seconds{1}} + Instant{Seconds{2}};  // refused
#else
[[maybe_unused]] const auto sum = Instant{Seconds{1}} + Seconds{2};
#endif
