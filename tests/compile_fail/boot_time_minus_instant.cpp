#include "core/time/boot_time.hpp"

using namespace lullwatt;

#ifdef BAD
[[maybe_unused]] const auto age = BootTime{Milliseconds{1}} - Instant{Seconds{2}};  // refused
#else
[[maybe_unused]] const auto age = BootTime{Milliseconds{1}} - BootTime{Seconds{2}};
#endif
