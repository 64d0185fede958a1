// Being called again at a time since boot.
//
// Loop thread only. Whoever decides says when to look again; the alarm is how the daemon keeps that promise.
#pragma once

#include <functional>
#include <memory>

#include "daemon/ports/clock.hpp"

namespace lullwatt::daemon {

// One appointment at a time: setting it anew forgets the old one. Destroying it forgets it too.
class Alarm {
  public:
    Alarm() = default;
    Alarm(const Alarm&) = delete;
    Alarm& operator=(const Alarm&) = delete;
    virtual ~Alarm() = default;
    // Rings once at `at`, or as soon as the loop is free where that is past.
    virtual void set(BootTime at) = 0;
    virtual void clear() = 0;
};

class Alarms {
  public:
    Alarms() = default;
    Alarms(const Alarms&) = delete;
    Alarms& operator=(const Alarms&) = delete;
    virtual ~Alarms() = default;
    // `ring` may set the alarm again, and may destroy it.
    [[nodiscard]] virtual std::unique_ptr<Alarm> alarm(std::function<void()> ring) = 0;
};

}  // namespace lullwatt::daemon
