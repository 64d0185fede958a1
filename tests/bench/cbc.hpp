// CBC on the same model, in this process: one thread, log off, no tolerance on the gap.
#pragma once

#include "reference/plan/milp.hpp"

namespace lullwatt::reference {

[[nodiscard]] Solved solve_cbc(const Milp& model, int limit_ms);

}  // namespace lullwatt::reference
