// The profile that gives a point its amperes, and whether the one it has will do.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>

#include "core/control/current_model.hpp"
#include "core/control/decision.hpp"

namespace lullwatt::control {

struct ProfileWanted {
    WholeAmps setpoint;
    WholeAmps standing;
    Milliseconds lease;                  // how long a setpoint above standing may run without us
    std::optional<BootTime> wait_until;  // of a setpoint below standing, where its end is known
};

// [setpoint][after its time: standing]. A setpoint above standing is a lease; one below is a wait and ends at
// the planned start, or with the longest lease where none is known; standing itself lasts, and so does 0 A
// where standing is 0.
[[nodiscard]] std::vector<Period> profile(const ProfileWanted& wanted, BootTime now,
                                          const LimiterOptions& options);

// Whether the newest command no longer says what is wanted, runs too long or is due for renewal.
[[nodiscard]] bool needs_write(const Command& newest, const ProfileWanted& wanted, BootTime now,
                               const LimiterOptions& options);

// When needs_write may change by time alone; empty: never.
[[nodiscard]] std::optional<BootTime> due(const Command& newest, WholeAmps standing,
                                          const LimiterOptions& options);

}  // namespace lullwatt::control
