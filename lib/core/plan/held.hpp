// Who takes what of the limit that keeps a slot from more.
//
// Pure over plain values; one Holders is for one thread.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "core/plan/assemble_joint.hpp"

namespace lullwatt::plan {

struct Held {
    std::string car;  // as in Taken
    WholeAmps amps;   // the most it draws during the slot
    friend bool operator==(const Held&, const Held&) = default;
};

// Those that hold a slot, in their order: the first of them, and how many more there are.
struct Holding {
    std::vector<Held> named;
    std::size_t others = 0;
    friend bool operator==(const Holding&, const Holding&) = default;
};

inline constexpr std::size_t kMostNamed = 3;

// Of `others` those that draw during a slot from what bounds it; without them it could carry more. None where
// nothing bounds it that cars share. A lease counts driven points alone. Who draws from a bound is found once
// for all slots.
class Holders {
  public:
    // REQUIRES: both outlive it; the bounds of all slots asked about have nodes and legs of the site.
    Holders(const site::Site& site, const std::vector<Taken>& others) : site_(site), others_(others) {}

    [[nodiscard]] Holding of(const Slot& slot, std::size_t most_named = kMostNamed);

  private:
    struct Drawers {
        Bound bound;
        std::vector<std::size_t> of_it;  // indices of others_
    };
    [[nodiscard]] const std::vector<std::size_t>& drawers(const Bound& bound);

    const site::Site& site_;
    const std::vector<Taken>& others_;
    std::vector<Drawers> found_;
};

}  // namespace lullwatt::plan
