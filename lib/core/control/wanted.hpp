// What a point is to get before any current is looked at: by plan, hold, wait or the site's choice.
//
// Pure function over plain values; call from any thread.
#pragma once

#include <optional>

#include "core/control/decision.hpp"
#include "core/control/input.hpp"
#include "core/control/options.hpp"

namespace lullwatt::control {

struct WantedInput {
    const PointPlan* plan = nullptr;  // null: none came yet
    std::optional<Hold> hold;
    std::optional<BootTime> waits_until;  // after an interruption of the supply
    WhenUnproven unproven = WhenUnproven::standing;
    bool reported = true;  // the equipment has told something since the start
    WholeAmps offered;     // now
    WholeAmps standing;
    WholeAmps most;  // installer's setting
    BootTime start;  // of the limiter
};

struct Wanted {
    WholeAmps amps;
    Reason reason;
    std::optional<BootTime> changes;  // when it may be something else
};

[[nodiscard]] Wanted wanted(const WantedInput& input, const Now& now, const LimiterOptions& options);

}  // namespace lullwatt::control
