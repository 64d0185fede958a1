// From a site, a tariff and a load to the numbers the planner works on.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstddef>

#include "core/plan/problem.hpp"
#include "core/site/headroom.hpp"
#include "core/tariff/price_curve.hpp"
#include "core/time/zone.hpp"
#include "core/vehicle/car.hpp"

namespace lullwatt::plan {

inline constexpr Seconds kGrid{300};

// What one car asks for on one night.
struct Request {
    Interval present;  // plugged in, or now, to ready-by
    MilliwattHours need;
    MilliwattHours floor;
    Money start_cost;
    Preference preference = Preference::early;
};

// A stretch without charging by the household's word.
using Hold = std::optional<Interval>;

// Slots on a 5-minute UTC grid, split where a price or the forecast of the point's path falls off it; the
// pieces at both ends are rounded inwards to whole minutes. Empty slots where nothing is left of `present`.
// REQUIRES: the price curve and every non-empty forecast cover `present`.
[[nodiscard]] Problem assemble(const site::Site& site, std::size_t point, const vehicle::Car& car,
                               const site::SiteLoads& loads, const site::Unattended& unattended,
                               const tariff::PriceCurve& prices, const Zone& zone, const Request& request,
                               const Hold& hold = {});

}  // namespace lullwatt::plan
