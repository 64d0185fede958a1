#include "daemon/clock/boot_alarms.hpp"

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <ctime>
#include <system_error>
#include <unistd.h>
#include <utility>

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <sys/timerfd.h>

namespace lullwatt::daemon {
namespace asio = boost::asio;
namespace {

constexpr std::time_t kNever = 8'000'000'000;  // the year 2223

int timer_on(clockid_t clock) {
    const int descriptor = ::timerfd_create(clock, TFD_NONBLOCK | TFD_CLOEXEC);
    if (descriptor < 0) throw std::system_error(errno, std::generic_category(), "timerfd_create");
    return descriptor;
}

// Shared with the wait in flight, which may end after the alarm is gone.
struct Timer : std::enable_shared_from_this<Timer> {
    Timer(Loop& loop, std::function<void()> on_ring)
        : descriptor(loop.context(), timer_on(CLOCK_BOOTTIME)), ring(std::move(on_ring)) {}

    void wait() {
        descriptor.async_wait(asio::posix::stream_descriptor::wait_read,
                              [self = shared_from_this()](const boost::system::error_code& error) {
                                  if (!error && !self->gone) self->fall_due();
                              });
    }

    void fall_due() {
        std::uint64_t times = 0;
        // Set anew between the wait's end and now: then there is nothing to read yet.
        const bool due = ::read(descriptor.native_handle(), &times, sizeof times) == sizeof times;
        wait();
        if (due) ring();
    }

    asio::posix::stream_descriptor descriptor;
    std::function<void()> ring;
    bool gone = false;
};

class BootAlarm final : public Alarm {
  public:
    BootAlarm(Loop& loop, std::function<void()> ring)
        : timer_(std::make_shared<Timer>(loop, std::move(ring))) {
        timer_->wait();
    }
    ~BootAlarm() override {
        timer_->gone = true;
        boost::system::error_code none;
        timer_->descriptor.close(none);
    }
    void set(BootTime at) override {
        // An absolute time of 0 would disarm it.
        const auto since_boot = std::max(at.time_since_epoch(), Milliseconds{1});
        const auto seconds = std::chrono::floor<std::chrono::seconds>(since_boot);
        arm({.tv_sec = seconds.count(), .tv_nsec = std::chrono::nanoseconds(since_boot - seconds).count()});
    }
    void clear() override { arm({}); }

  private:
    void arm(timespec at) {
        const itimerspec setting{.it_interval = {}, .it_value = at};
        ::timerfd_settime(timer_->descriptor.native_handle(), TFD_TIMER_ABSTIME, &setting, nullptr);
    }

    std::shared_ptr<Timer> timer_;
};

}  // namespace

std::unique_ptr<Alarm> BootAlarms::alarm(std::function<void()> ring) {
    return std::make_unique<BootAlarm>(loop_, std::move(ring));
}

struct ClockSteps::Inside : std::enable_shared_from_this<Inside> {
    Inside(Loop& loop, std::function<void()> on_step)
        : descriptor(loop.context(), timer_on(CLOCK_REALTIME)), stepped(std::move(on_step)) {}

    // Never due: only its cancelling by a set clock is of interest.
    void arm() {
        const itimerspec setting{.it_interval = {}, .it_value = {.tv_sec = kNever, .tv_nsec = 0}};
        ::timerfd_settime(descriptor.native_handle(), TFD_TIMER_ABSTIME | TFD_TIMER_CANCEL_ON_SET, &setting,
                          nullptr);
        descriptor.async_wait(asio::posix::stream_descriptor::wait_read,
                              [self = shared_from_this()](const boost::system::error_code& error) {
                                  if (error || self->gone) return;
                                  std::uint64_t times = 0;
                                  const auto got =
                                      ::read(self->descriptor.native_handle(), &times, sizeof times);
                                  const bool set = got < 0 && errno == ECANCELED;
                                  self->arm();
                                  if (set) self->stepped();
                              });
    }

    asio::posix::stream_descriptor descriptor;
    std::function<void()> stepped;
    bool gone = false;
};

ClockSteps::ClockSteps(Loop& loop, std::function<void()> stepped)
    : inside_(std::make_shared<Inside>(loop, std::move(stepped))) {
    inside_->arm();
}

ClockSteps::~ClockSteps() {
    inside_->gone = true;
    boost::system::error_code none;
    inside_->descriptor.close(none);
}

}  // namespace lullwatt::daemon
