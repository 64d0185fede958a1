// Who watches over the process and is told how it fares: the service manager.
//
// Calls never block and never fail; where nobody listens they do nothing.
#pragma once

#include <chrono>
#include <optional>
#include <string_view>

namespace lullwatt::daemon {

class Notifier {
  public:
    Notifier() = default;
    Notifier(const Notifier&) = delete;
    Notifier& operator=(const Notifier&) = delete;
    virtual ~Notifier() = default;
    virtual void ready(std::string_view status) = 0;  // also ends a reload
    virtual void reloading() = 0;
    virtual void stopping(std::string_view status) = 0;
    virtual void status(std::string_view status) = 0;
    virtual void alive() = 0;
    // How often alive() is expected at the least; none: nobody waits for it.
    [[nodiscard]] virtual std::optional<std::chrono::microseconds> alive_within() const = 0;
};

}  // namespace lullwatt::daemon
