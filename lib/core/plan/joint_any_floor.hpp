// The floors of cars of every kind: they come before whatever else any car charges.
//
// A pure function; call from any thread.
#pragma once

#include <cstddef>
#include <vector>

#include "core/plan/joint_draft.hpp"

namespace lullwatt::plan {

// What each car charges at least, and all it charges here. First the cars of `apart`, one after another in
// this order, each as fast as those before it let it, and a block set by hand whole; beside them those of
// `together`, as the joint programme deals with floors. One of `apart` that would not charge its floor at
// once by itself has none.
[[nodiscard]] Draft floors_first(const JointProblem& problem, const std::vector<std::size_t>& apart,
                                 const std::vector<std::size_t>& together);

}  // namespace lullwatt::plan
