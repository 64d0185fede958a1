// Why each slot of a finished plan carries what it carries, as plan.hpp defines the words.
//
// Pure function; call from any thread.
#pragma once

#include "core/plan/plan.hpp"

namespace lullwatt::plan {

// Whether several slots may carry what each may carry beside the plan; not where they share a peak's room.
enum class Together : bool { yes, unknown };

// Fills `why` of every slot and the marginal price from the amperes that are there. Takes the plan for the
// best of the problem. REQUIRES: problem is settable().
void give_reasons(const Problem& problem, Plan& plan, Together together = Together::yes);

}  // namespace lullwatt::plan
