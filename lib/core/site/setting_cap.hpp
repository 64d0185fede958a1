// The most an installer may set a supply point to by the ratings between it and the service.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <vector>

#include "core/site/headroom.hpp"

namespace lullwatt::site {

// What one feeder or circuit leaves for a point's setting, on its tightest leg.
struct SettingCap {
    std::size_t node = 0;
    Leg leg = Leg::L1;
    Amps limit;         // for hours
    Amps house;         // the worst load of what hangs there beside the points
    Amps other_points;  // at what they are set to
    WholeAmps most;     // 0 where nothing is left; never 52 A, which the control pilot has not
};

// One per feeder and circuit of the point's path, the circuit first. The service is a matter of load
// calculations (core/circuit). No planned current counts: every point stands with its installer's setting.
// REQUIRES: loads of the site's size.
[[nodiscard]] std::vector<SettingCap> setting_caps(const Site& site, std::size_t point,
                                                   const SiteLoads& loads);

}  // namespace lullwatt::site
