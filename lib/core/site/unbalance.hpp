// How much more cars may load one leg of a node than another.
//
// Pure functions over plain values; call from any thread. Kept by what is sufficient: the cars that load a
// leg and not all of the node's together take no more on it than the limit. Cars on all legs add to each the
// same, and no leg carries less than nothing, so no two legs differ by more. It is not necessary: a car on
// another leg, which would make room, is not counted on.
#pragma once

#include <cstddef>
#include <optional>

#include "core/site/headroom.hpp"

namespace lullwatt::site {

// The legs loaded by a car of the fewest legs that charge at a point.
[[nodiscard]] Legs fewest_legs(const Site& site, const Point& point);

// Whether a car that loads `car_legs` sets one leg apart from others of a node with `node_legs`.
[[nodiscard]] constexpr bool uneven_on(Legs car_legs, Legs node_legs, Leg leg) {
    return car_legs.has(leg) && !node_legs.within(car_legs);
}

// The same of a point's cars at a node. False where the node is not on the point's path.
[[nodiscard]] bool uneven_on(const Site& site, const Point& point, std::size_t node, Leg leg);

// What the limit of a node leaves the cars of a point on one leg beside the other points, unattended. Empty
// where the node has none or the point's cars load all of its legs. REQUIRES: unattended of the site's size.
[[nodiscard]] std::optional<Amps> left_of_unbalance(const Site& site, std::size_t point, std::size_t node,
                                                    Leg leg, const Unattended& unattended);

}  // namespace lullwatt::site
