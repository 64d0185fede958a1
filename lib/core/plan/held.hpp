// Who takes what of the limit that keeps a slot from more.
//
// Pure function over plain values; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "core/plan/assemble_joint.hpp"

namespace lullwatt::plan {

struct Held {
    std::string car;  // as in Taken
    WholeAmps amps;   // the most it draws during the slot
    friend bool operator==(const Held&, const Held&) = default;
};

// Of `others`, in their order, those that draw during the slot from what bounds it; without them it could
// carry more. Empty where nothing bounds it that cars share. A lease counts driven points alone.
// REQUIRES: the bound's node and leg are the site's.
[[nodiscard]] std::vector<Held> held_by(const site::Site& site, const Slot& slot,
                                        const std::vector<Taken>& others);

}  // namespace lullwatt::plan
