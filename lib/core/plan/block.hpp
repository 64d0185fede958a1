// Plans for a point that is set by hand: one start, one current, until the need is in.
//
// Pure functions; call from any thread.
#pragma once

#include <vector>

#include "core/plan/plan.hpp"

namespace lullwatt::plan {

// The best block, by trying every start and current: exact. The current holds until the need is in; within
// the last slot the car itself stops, so nothing is delivered beyond the need. Nothing else stops it: slots
// without room for its current end no block, they forbid it. With a floor nobody can wait: the block begins
// at the first slot it can, unless by waiting less is short.
[[nodiscard]] Plan best_block(const Problem& problem);

// The objective of the best block for a plug-in at the begin of every slot.
[[nodiscard]] std::vector<Objective> best_block_every_plug_in(const Problem& problem);

}  // namespace lullwatt::plan
