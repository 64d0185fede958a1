// The limiter's figures of our own choosing, each an option with that default (design §7).
//
// Values only; safe to read from any thread.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/time/boot_time.hpp"

namespace lullwatt::control {

struct LimiterOptions {
    // Current model: how long a car takes to follow an offer. Learned, within these bounds.
    Milliseconds response = Seconds{5};
    Milliseconds response_least = Seconds{1};
    Milliseconds response_most = Seconds{10};
    Milliseconds meter_lag = Seconds{1};  // a meter's sample may show what was so much earlier
    Amps settled_within = Amps(0.5);      // a report this much below the offer is the car's own limit

    // Down: above the limit for as many samples or this long, whichever is first (motor inrush is no load).
    int samples_above = 2;
    Milliseconds above_for = Seconds{3};

    // Up: the house counts at its greatest of the calm time. A retreat soon after a raise doubles it.
    Milliseconds calm = Seconds{60};
    Milliseconds calm_most = std::chrono::minutes{16};
    Milliseconds retreat_within = std::chrono::minutes{15};
    Milliseconds calm_again_after = std::chrono::hours{1};

    // After a pause below the minimum: so long above the minimum by so much.
    Milliseconds resume_after = std::chrono::minutes{5};
    WholeAmps resume_above = WholeAmps(1);

    // Leases: the longest, and the share of a lease after which it is renewed, in thirds.
    Milliseconds lease_most = std::chrono::minutes{60};
    int renew_after_thirds = 2;
    Milliseconds rewrite_before_end = std::chrono::minutes{1};  // a wait that goes on, this long before

    // Writes into the equipment's flash, per point.
    int writes_a_night = 120;
    int writes_near = 96;  // from here on the calm time is doubled
    Milliseconds answer_within = Seconds{5};

    // Staleness.
    Milliseconds stale_least = Seconds{15};
    double stale_intervals = 2.5;
    Milliseconds interval_most = Seconds{30};  // a slower meter is none for live limiting
    Milliseconds standing_after = std::chrono::minutes{2};
    Milliseconds stall = Seconds{2};

    // Interruption of the supply.
    Milliseconds interruption = std::chrono::minutes{1};
    Milliseconds reboot_after_gap = std::chrono::minutes{5};  // equipment may start so long after the meter
    Seconds wait_least = std::chrono::minutes{10};
    Seconds wait_most = std::chrono::minutes{20};

    // At start: how long nothing is decided for equipment that has not reported, and without any plan.
    Milliseconds first_report = Seconds{15};
    Milliseconds first_plan = std::chrono::minutes{2};
    Milliseconds look_at_least = std::chrono::minutes{1};
};

}  // namespace lullwatt::control
