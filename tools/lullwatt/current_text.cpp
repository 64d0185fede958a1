#include "tools/lullwatt/current_text.hpp"

#include <algorithm>

#include "core/plan/when.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {

std::string current_text(const plan::Plan& plan) {
    const WholeAmps most = plan::greatest_current(plan);
    const bool steady = std::ranges::all_of(plan.slots, [&](const plan::PlannedSlot& slot) {
        return slot.amps == WholeAmps(0) || slot.amps == most;
    });
    return (steady ? "" : "up to ") + amps_text(most);
}

WholeAmps first_current(const plan::Plan& plan) {
    const auto first = std::ranges::find_if(
        plan.slots, [](const plan::PlannedSlot& slot) { return slot.amps > WholeAmps(0); });
    return first == plan.slots.end() ? WholeAmps(0) : first->amps;
}

}  // namespace lullwatt::tools
