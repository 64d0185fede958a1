// What the equipment does with no word from anybody, and what the service sees when this computer dies.
//
// Pure functions over plain values; call from any thread. Every figure here uses the worst load, never a
// forecast.
#pragma once

#include <optional>
#include <vector>

#include "core/site/headroom.hpp"

namespace lullwatt::site {

// A node and leg where something does not fit: what it would carry against what it may.
struct Excess {
    std::size_t node = 0;
    Leg leg = Leg::L1;
    Amps would_carry;
    Amps may_carry;
    WholeAmps fits;          // the most this point could have there
    bool unbalance = false;  // cars on one leg above the others are meant, not all that flows
};

// Standing current of one point: as stated or found by `auto`, and where a stated one does not fit (or, for
// auto, what kept the minimum from fitting).
struct Standing {
    WholeAmps current;
    std::optional<Excess> excess;
};

// One per point, in the order of the site file: `auto` gives each driven point its minimum as long as the
// greatest worst load and all standing currents so far stay within the limit of every node and leg, and the
// cars of no leg pass an unbalance limit (design §7). A stated current is taken as it is and its excess told:
// over the limit, or over the rating where standing_beyond_limit.
[[nodiscard]] std::vector<Standing> standing_currents(const Site& site, const SiteLoads& loads);

// What every point draws unattended: its standing current, or what its installer set where it is set by hand.
[[nodiscard]] Unattended unattended(const Site& site, const std::vector<Standing>& standing);

// Where the greatest worst load and the installer's setting of a point set by hand exceed a limit; nothing
// when it is safe at any hour.
[[nodiscard]] std::optional<Excess> unsafe_by_hand(const Site& site, std::size_t point,
                                                   const SiteLoads& loads, const Unattended& unattended);

// The worst a leg of a node may see when this computer dies while a lease runs: for the lease, then
// afterwards.
struct WorstMoment {
    std::size_t node = 0;
    Leg leg = Leg::L1;
    Amps during_lease;
    Amps afterwards;
};

// One per node and leg, in the order of the nodes. Leases are lowered until they fit every rating on their
// way, so a node below holds down what the nodes above it may see.
[[nodiscard]] std::vector<WorstMoment> worst_moments(const Site& site, const SiteLoads& loads,
                                                     const Unattended& unattended);

// The one that comes closest to its node's rating, or furthest past it; the first where several do. Empty
// where there are none.
[[nodiscard]] std::optional<WorstMoment> tightest(const Site& site, const std::vector<WorstMoment>& moments);

}  // namespace lullwatt::site
