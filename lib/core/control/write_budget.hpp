// How many profiles were written into a point's equipment, whose flash wears.
//
// Values only; one thread.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>

#include "core/control/options.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::control {

// What outlives a restart: the caller keeps it and hands it back.
struct WritesSoFar {
    std::int64_t ever = 0;
    int tonight = 0;
    std::optional<Instant> night_ends;  // when `tonight` begins anew; empty: the clock was unproven
};

// The first noon by `zone` after `at`: nights are counted from noon to noon.
[[nodiscard]] Instant next_noon(Instant at, const Zone& zone);

class WriteBudget {
  public:
    WriteBudget(const WritesSoFar& so_far, BootTime start, const LimiterOptions& options)
        : options_(options), so_far_(so_far), night_began_(start) {}

    // At noon by `zone` another night begins; with an unproven clock, every 24 h.
    void look(const Now& now, const Zone& zone);
    void wrote();

    [[nodiscard]] const WritesSoFar& so_far() const { return so_far_; }
    [[nodiscard]] int left() const { return std::max(0, options_.writes_a_night - so_far_.tonight); }
    [[nodiscard]] bool near_end() const { return so_far_.tonight >= options_.writes_near; }

  private:
    LimiterOptions options_;
    WritesSoFar so_far_;
    BootTime night_began_;
};

}  // namespace lullwatt::control
