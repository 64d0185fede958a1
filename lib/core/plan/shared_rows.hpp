// What several cars share: per leg of a node headroom, leases, outside ceilings and unbalance, and per node
// the power it is granted.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <vector>

#include "core/plan/assemble_joint.hpp"

namespace lullwatt::plan {

// As of assemble_joint(); outlives the call.
struct SharedRowsFrom {
    const site::Site& site;
    const std::vector<Wanted>& wanted;
    const site::SiteLoads& loads;
    const site::Unattended& unattended;
    const Zone& zone;
    const std::vector<Taken>& taken;
    const std::optional<site::Relief>& relief;
};

// REQUIRES: slots and cars of `problem` stand, the cars in the order of `wanted`.
[[nodiscard]] std::vector<SharedRow> shared_rows(const SharedRowsFrom& from, const JointProblem& problem);

}  // namespace lullwatt::plan
