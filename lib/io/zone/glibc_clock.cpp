#include "io/zone/glibc_clock.hpp"

#include <cassert>
#include <cstdlib>
#include <ctime>

namespace lullwatt::io {
namespace {

std::mutex& one_at_a_time() {
    static std::mutex mutex;
    return mutex;
}

}  // namespace

GlibcClock::GlibcClock(const std::filesystem::path& file) : alone_(one_at_a_time()) {
    assert(file.is_absolute());
    if (const char* set = std::getenv("TZ")) before_ = set;
    setenv("TZ", (":" + file.string()).c_str(), 1);
    tzset();
}

GlibcClock::~GlibcClock() {
    if (before_) {
        setenv("TZ", before_->c_str(), 1);
    } else {
        unsetenv("TZ");
    }
    tzset();
}

GlibcClock::Reading GlibcClock::at(Instant instant) const {
    const std::time_t seconds = instant.time_since_epoch().count();
    std::tm parts{};
    [[maybe_unused]] const std::tm* done = localtime_r(&seconds, &parts);
    assert(done != nullptr);  // fails only for years beyond int
    return {Seconds{parts.tm_gmtoff}, parts.tm_zone};
}

}  // namespace lullwatt::io
