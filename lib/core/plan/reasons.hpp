// Why each slot of a finished plan carries what it carries, as plan.hpp defines the words.
//
// Pure function; call from any thread.
#pragma once

#include "core/plan/plan.hpp"

namespace lullwatt::plan {

// Fills `why` of every slot and the marginal price from the amperes that are there.
void give_reasons(const Problem& problem, Plan& plan);

}  // namespace lullwatt::plan
