// From a site, a tariff and a load to the numbers the planner works on.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "core/plan/problem.hpp"
#include "core/site/headroom.hpp"
#include "core/tariff/price_curve.hpp"
#include "core/time/zone.hpp"
#include "core/vehicle/car.hpp"

namespace lullwatt::plan {

inline constexpr Seconds kGrid{300};

// The car is out, and what it drives takes this much, counted as the need is.
struct Absence {
    Interval when;
    MilliwattHours driven;
};

// What one car asks for on one night.
struct Request {
    Interval present;  // plugged in, or now, to ready-by
    MilliwattHours need;
    MilliwattHours floor;
    Money start_cost;
    Preference preference = Preference::early;
    std::vector<Absence> absences = {};  // within `present`, ascending
    std::optional<Rate> price_cap = {};  // Problem::price_cap
    // Of a need told at the battery, and where its charge is known: Problem's.
    Watts overhead = Watts(0);
    std::vector<TaperStep> taper = {};
};

// A stretch without charging by the household's word.
using Hold = std::optional<Interval>;

// Slots on a 5-minute UTC grid, split where a price, or a forecast or outside ceiling of the point's path,
// falls off it; the
// pieces at both ends are rounded inwards to whole minutes. Empty slots where nothing is left of `present`.
// REQUIRES: the price curve and every non-empty forecast cover `present`; the car uses no fewer legs than the
// point's fewest_car_legs.
[[nodiscard]] Problem assemble(const site::Site& site, std::size_t point, const vehicle::Car& car,
                               const site::SiteLoads& loads, const site::Unattended& unattended,
                               const tariff::PriceCurve& prices, const Zone& zone, const Request& request,
                               const Hold& hold = {}, const std::optional<site::Relief>& relief = {});

}  // namespace lullwatt::plan
