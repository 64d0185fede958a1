// The measure of design §7: for how long cars added load above what a node may carry.
//
// Pure; one thread per measure.
#pragma once

#include <optional>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::rehearse {

// A run of seconds with an excess over half an ampere, those less than 10 s apart joined.
struct Episode {
    Seconds begin{0};
    Seconds end{0};        // of its last second
    Seconds last_rise{0};  // when the house last rose in it, or shortly before
    Amps greatest;         // excess

    [[nodiscard]] Seconds length() const { return end - begin; }
};

// Excess = min(cars' amperes, max(0, total − bound)): what the house alone does is not the cars'.
[[nodiscard]] Amps excess(Amps cars, Amps total, Amps bound);

// Collects the episodes of one leg of one node.
class Excess {
  public:
    explicit Excess(Amps bound) : bound_(bound) {}

    // Seconds ascending. `bound`: as it is in that second, where it changes.
    void second(Seconds at, Amps cars, Amps total, bool house_rose);
    [[nodiscard]] const std::vector<Episode>& episodes() const { return episodes_; }
    [[nodiscard]] Seconds longest() const;

  private:
    Amps bound_;
    Seconds last_rise_{0};
    std::vector<Episode> episodes_;
};

// The bounds that tests assert (design §7).
enum class BoundCase : std::uint8_t { all_alive, meter_silent, on_its_lease };
struct BoundInput {
    Seconds meter_interval{1};
    Seconds response{5};
    Seconds staleness{15};
    Seconds lease_left{0};  // at most the lease's length
};
[[nodiscard]] Seconds time_bound(BoundCase which, const BoundInput& input);

}  // namespace lullwatt::rehearse
