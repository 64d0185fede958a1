// What the limiter answers: an offer per point with its lease and its reasons as data, and when to ask again.
//
// Values only; worded only at the edge (tools, page).
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/site/site.hpp"
#include "core/time/boot_time.hpp"

namespace lullwatt::control {

enum class Bind : std::uint8_t {
    plan,               // the plan gives no more in this piece
    waiting,            // the plan begins later; `until`
    past_plan,          // the plan has ended, or none came in time
    no_plan_yet,        // since the start; what the equipment offers is kept
    clock_unproven,     // no plan can be read; the site's choice holds
    hold,               // the household said so; `until` by boot time where it has an end
    installer_setting,  // what the installer set
    receptacle,         // 80 % of the receptacle
    limit,              // rating × share, less the house now
    rating,             // the rating itself was passed: reduced at once
    ceiling,            // an outside ceiling is below the node's limit
    unbalance,          // cars may load a leg no further above the others
    calm_time,          // the house was higher within the calm time, or was not watched that long
    lease_cap,          // rating − worst load: what may flow should this computer die
    stale,              // the meter is silent: limit − worst load
    stale_for_long,     // silent for 2 min: standing
    unmetered,          // no meter there: limit − worst load
    other_point,        // amperes of another point, whose fall is not measured yet
    below_minimum,      // what is left is below the least current: paused
    resume_wait,        // paused: 5 min above minimum + 1 A are not over
    interruption,       // the supply was interrupted; `until`
    write_budget,       // the night's writes are spent
    unheard,            // the equipment has not reported since the start
    link_lost,          // nothing can be told to it; its lease runs out
    no_car,
    car_done,  // the transaction is over
    fault,     // the equipment says so
};

// One thing that allows no more than `most`.
struct Reason {
    Bind bind = Bind::plan;
    WholeAmps most;
    std::optional<std::size_t> node = {};  // for what binds at a node, and on which leg
    site::Leg leg = site::Leg::L1;
    std::optional<BootTime> until = {};
    friend bool operator==(const Reason&, const Reason&) = default;
};

// Amperes for a while; the last period of a write lasts until the next write.
struct Period {
    WholeAmps amps;
    std::optional<Milliseconds> length;
    friend bool operator==(const Period&, const Period&) = default;
};

// A profile to send now: [setpoint][after the lease: the fallback]. It counts as sent when decided.
struct Write {
    std::uint64_t number = 0;  // hand it back with the answer
    std::vector<Period> periods;
    bool reduces = false;  // jumps every queue
};

struct PointDecision {
    WholeAmps setpoint;                  // what is offered now, with this write where there is one
    WholeAmps fallback;                  // what follows when the lease ends
    std::optional<BootTime> lease_ends;  // empty: it lasts
    std::optional<Write> write;
    std::vector<Reason> reasons;  // never empty; what binds most first
};

struct Decision {
    std::vector<PointDecision> points;  // in the order of the site's
    BootTime look_again;                // later than now; being asked over 2 s late counts as a stall
};

}  // namespace lullwatt::control
