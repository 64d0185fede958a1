// How long the house must have been quiet before a point's current is raised.
//
// Values only; one thread. Times never go backwards.
#pragma once

#include <optional>

#include "core/control/options.hpp"

namespace lullwatt::control {

// Each retreat soon after a raise doubles it, a calm hour resets it (design §7): a house that cycles is met
// with few steps instead of many.
class CalmTime {
  public:
    explicit CalmTime(const LimiterOptions& options) : options_(options), length_(options.calm) {}

    void raised(BootTime now) { raised_ = now; }
    void retreated(BootTime now);
    // REQUIRES: now not before the last call's.
    [[nodiscard]] Milliseconds length(BootTime now) const;

  private:
    LimiterOptions options_;
    Milliseconds length_;
    std::optional<BootTime> raised_;
    std::optional<BootTime> retreated_;
};

}  // namespace lullwatt::control
