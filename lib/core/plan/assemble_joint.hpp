// From a site, tariffs and loads to the numbers the joint planner works on.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstddef>
#include <vector>

#include "core/plan/assemble.hpp"
#include "core/plan/joint_problem.hpp"

namespace lullwatt::plan {

// One car at one driven point, for one presence.
struct Wanted {
    std::size_t point = 0;  // index into Site::points; each point at most once
    vehicle::Car car;       // names differ
    Request request;
    const tariff::PriceCurve* prices = nullptr;  // of the point's meter; outlives the call
    Hold hold;
};

// The slots of all presences together. Points that nobody wants count with `unattended`; those that are
// wanted count by their rows only: on every node and leg that two of them load, limit − forecast, and what a
// lease may carry for all of them, though never below the sum of their standing currents (docs/design.md §7).
// REQUIRES: driven points; curves and forecasts cover each presence, as for assemble().
[[nodiscard]] JointProblem assemble_joint(const site::Site& site, const std::vector<Wanted>& wanted,
                                          const site::SiteLoads& loads, const site::Unattended& unattended,
                                          const Zone& zone);

}  // namespace lullwatt::plan
