#include "tools/lullwatt/node_worth.hpp"

#include <fmt/format.h>

#include "core/plan/explain.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

plan::Objective objective_of(const plan::JointPlan& plan) {
    plan::Objective sum{.above_cap = plan.above_cap, .cost = plan.cost, .starts = plan.starts};
    for (const plan::Shortfall& one : plan.shortfalls) sum.short_by += one.missing;
    return sum;
}

bool proven(const plan::JointPlan& plan) { return plan.shortfalls_proven && plan.cost_proven(); }

}  // namespace

std::vector<NodeWorth> node_worths(const Night& night) {
    const CarNight& asked = night.asked();
    const plan::Plan& plan = asked.month.plan;
    std::vector<NodeWorth> found;
    for (const std::size_t node : plan::binding_nodes(asked.question.problem, plan)) {
        if (asked.together) {
            const plan::JointPlan other = relieved_together(night, node);
            found.push_back({node, objective_of(*night.joint), objective_of(other), true,
                             proven(*night.joint) && proven(other)});
        } else {
            const Question& question = asked.question;
            const auto other = plan::solve_month(question.relieved(node), question.month.costs);
            found.push_back({node, plan.objective, other.plan.objective});
        }
    }
    return found;
}

std::string worth_text(const NodeWorth& worth, const site::Site& site) {
    return fmt::format(
        "1 A more  at {}, all night{}: {}{}", site.nodes[worth.node].name,
        worth.together ? ", all cars together" : "",
        worth.relieved == worth.planned ? "changes nothing" : better_text(worth.planned, worth.relieved),
        worth.proven ? "" : ", which is not proven");
}

std::string better_text(const plan::Objective& best, const plan::Objective& other) {
    constexpr int kFine = 4;
    if (other.short_by != best.short_by)
        return fmt::format("{} less short", some_energy_text(best.short_by - other.short_by));
    if (other.above_cap != best.above_cap)
        return fmt::format("{} less above the price cap", some_energy_text(best.above_cap - other.above_cap));
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
