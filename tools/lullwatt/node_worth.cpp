#include "tools/lullwatt/node_worth.hpp"

#include <fmt/format.h>

#include "core/plan/explain.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {

std::vector<NodeWorth> node_worths(const Question& question, const plan::Plan& plan) {
    std::vector<NodeWorth> found;
    for (const std::size_t node : plan::binding_nodes(question.problem, plan))
        found.push_back({node, plan::solve(question.relieved(node)).objective});
    return found;
}

std::string better_text(const plan::Objective& best, const plan::Objective& other) {
    constexpr int kFine = 4;
    if (other.short_by != best.short_by)
        return fmt::format("{} less short", energy_text(best.short_by - other.short_by));
    if (other.above_cap != best.above_cap)
        return fmt::format("{} less above the price cap", energy_text(best.above_cap - other.above_cap));
    if (other.cost != best.cost) {
        const bool dearer = other.cost > best.cost;
        const ExactAmount by = dearer ? other.cost - best.cost : best.cost - other.cost;
        // Coarse slots and least currents let a plan bring a little more than is needed, and pay for it.
        return (dearer ? "costs " : "saves ") + cost_text(by, kFine);
    }
    if (other.starts != best.starts) return fmt::format("{} starts instead of {}", other.starts, best.starts);
    return "changes nothing but the preference";
}

}  // namespace lullwatt::tools
