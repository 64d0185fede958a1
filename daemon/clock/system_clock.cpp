#include "daemon/clock/system_clock.hpp"

#include <ctime>

namespace lullwatt::daemon {

Moment SystemClock::now() const {
    timespec boot{};
    ::clock_gettime(CLOCK_BOOTTIME, &boot);
    const auto since_boot = std::chrono::seconds(boot.tv_sec) + std::chrono::nanoseconds(boot.tv_nsec);
    return {std::chrono::floor<Seconds>(std::chrono::system_clock::now()),
            BootTime(std::chrono::floor<Milliseconds>(since_boot))};
}

}  // namespace lullwatt::daemon
