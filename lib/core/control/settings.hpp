// What the limiter knows of the site and never hears live.
//
// Plain values; safe to read from any thread.
#pragma once

#include <optional>
#include <vector>

#include "core/control/input.hpp"
#include "core/control/options.hpp"
#include "core/site/headroom.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::control {

struct LimiterSettings {
    site::Site site;
    std::vector<site::WorstByHour> worst;               // per node, without any car
    std::vector<std::optional<Milliseconds>> interval;  // per node: of its meter, where it has one
    site::Unattended unattended;                        // per point, as site::unattended gives it
    Zone zone = Zone::fixed(Seconds{0});
    WhenUnproven unproven = WhenUnproven::standing;
    LimiterOptions options = {};
};

}  // namespace lullwatt::control
