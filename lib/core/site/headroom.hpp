// How much current a point may be offered: what its path leaves after the house, and what a lost link may
// leave flowing.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/site/forecast.hpp"
#include "core/site/site.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::site {

// The greatest load the house is reckoned to draw, per hour of the day by the site's clock (design §5, W).
using WorstByHour = std::array<LegAmps, 24>;

// What is known of the load on one node that is no car. A forecast may plan money; only the worst load is
// safety.
struct NodeLoads {
    std::vector<LoadPiece> forecast;  // ascending, contiguous; empty: nothing but cars hangs on the node
    WorstByHour worst{};
};

// One entry per node of the site, in its order.
using SiteLoads = std::vector<NodeLoads>;

[[nodiscard]] Amps greatest(const WorstByHour& worst, Leg leg);

// The greatest forecast of the leg during `when`; 0 where nothing but cars hangs on the node. REQUIRES: a
// forecast that is not empty covers `when`.
[[nodiscard]] Amps greatest_forecast(const NodeLoads& node, Leg leg, Interval when);

// The greatest of the hours that `when` touches.
[[nodiscard]] Amps worst_within(const WorstByHour& worst, Leg leg, Interval when, const Zone& zone);

// What each point draws without any word from us: a driven point its standing current, a point set by hand
// what its installer set.
using Unattended = std::vector<WholeAmps>;

enum class Limiter : std::uint8_t {
    installer_setting,
    receptacle,
    headroom,
    lease,
    granted,
    unbalance,
    ceiling
};

// The most one point may be offered, and what keeps it from more.
struct Ceiling {
    WholeAmps most;
    Limiter limiter = Limiter::installer_setting;
    std::size_t node = 0;  // for all but the first two
    Leg leg = Leg::L1;
};

// One node with more room than it has, on every leg, to ask what that would be worth.
struct Relief {
    std::size_t node = 0;
    Amps by;
};

// During `when`: the least of the point's own limits; limit − forecast on every node and leg of its path;
// what its outside ceilings of that time leave of it; what a node is granted less the forecast of all its
// legs and what its unbalance limit leaves, which no lease goes by, for they endanger no wire;
// and, for a driven point, rating − worst load through the end of a lease taken in `when` (design §7), though
// never below its standing current. All other points count with `unattended`. REQUIRES: loads and unattended
// of the site's size; every non-empty forecast covers `when`.
[[nodiscard]] Ceiling ceiling(const Site& site, std::size_t point, const SiteLoads& loads,
                              const Unattended& unattended, const Zone& zone, Interval when,
                              const std::optional<Relief>& relief = {});

}  // namespace lullwatt::site
