// The worst load of each node in the hours of a lease that begins now.
//
// Owned by the limiter; one thread.
#pragma once

#include <optional>
#include <vector>

#include "core/control/settings.hpp"

namespace lullwatt::control {

class WorstAhead {
  public:
    // Without a proven clock every hour of the day counts. Looked up anew when the wall clock's minute
    // changes.
    void look(const Now& now, const LimiterSettings& settings);

    // REQUIRES: looked at least once.
    [[nodiscard]] const site::LegAmps& usual(std::size_t node) const { return usual_[node]; }
    [[nodiscard]] const site::LegAmps& longest(std::size_t node) const { return longest_[node]; }

  private:
    std::optional<Instant> minute_;  // of the last look; empty: without a clock
    std::vector<site::LegAmps> usual_;
    std::vector<site::LegAmps> longest_;
};

}  // namespace lullwatt::control
