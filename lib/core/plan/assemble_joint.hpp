// From a site, tariffs and loads to the numbers the joint planner works on.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "core/plan/assemble.hpp"
#include "core/plan/joint_problem.hpp"

namespace lullwatt::plan {

// One car at one point, driven or set by hand, for one presence.
struct Wanted {
    std::size_t point = 0;  // index into Site::points; each point at most once
    vehicle::Car car;       // names differ
    Request request;
    const tariff::PriceCurve* prices = nullptr;  // of the point's meter; outlives the call
    Hold hold;
};

// What a point will draw that is planned already, as another car's while one is asked about.
struct Taken {
    struct Draw {
        Interval when;
        WholeAmps amps;
        Milliwatts power = {};  // what the register counts, for bills that charge for the month
    };
    std::size_t point = 0;    // index into Site::points; not a wanted one
    std::vector<Draw> draws;  // ascending; between them nothing
    std::string car = {};     // whose they are, for who tells of it
};

// The slots of all presences together. Points that nobody wants count with `unattended`; those that are
// wanted count by their rows only: on every node and leg that two of them load, limit − forecast, and what a
// lease may carry for all of them, though never below the sum of their standing currents (docs/design.md §7),
// what its outside ceilings leave, and what its unbalance limit leaves those that load not all of its legs.
// `taken` is a load like the house where money is planned. What a lease may carry is for driven points alone,
// beside the draws of those taken and beside the whole setting of all that are set by hand, wanted or taken,
// which nothing lowers. REQUIRES: curves and forecasts cover each presence, as for assemble().
[[nodiscard]] JointProblem assemble_joint(const site::Site& site, const std::vector<Wanted>& wanted,
                                          const site::SiteLoads& loads, const site::Unattended& unattended,
                                          const Zone& zone, const std::vector<Taken>& taken = {},
                                          const std::optional<site::Relief>& relief = {});

}  // namespace lullwatt::plan
