#include <algorithm>

#include <fmt/format.h>

#include "core/plan/explain.hpp"
#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/answer_json.hpp"
#include "tools/lullwatt/node_worth.hpp"
#include "tools/lullwatt/price_notes.hpp"
#include "tools/lullwatt/question.hpp"
#include "tools/lullwatt/time_option.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

// What the night would be like the other way, re-planned with this slot turned over.
std::string other_way(const Question& question, const plan::Plan& plan, std::size_t index) {
    const bool on = plan.slots[index].amps > WholeAmps(0);
    const auto other = plan::otherwise(question.problem, plan, index);
    if (other)
        return fmt::format("  {}  {}\n", on ? "without it " : "if it did  ",
                           worse_text(plan.objective, other->objective));
    return plan::can_charge(question.problem, index)
               ? "  if it did   no plan would end within one slot of the need\n"
               : "";
}

// What one ampere more would be worth at each node that keeps the car from more this night.
std::string rooms(const Question& question, const plan::Plan& plan) {
    std::string text;
    for (const NodeWorth& worth : node_worths(question, plan)) {
        text += fmt::format("  1 A more  at {}, all night: {}\n",
                            question.household.site.site.nodes[worth.node].name,
                            worth.relieved == plan.objective ? "changes nothing"
                                                             : better_text(plan.objective, worth.relieved));
    }
    return text;
}

std::string sentence(const Question& question, const plan::Plan& plan, std::size_t index) {
    const plan::Slot& slot = question.problem.slots[index];
    const plan::PlannedSlot& planned = plan.slots[index];
    const Zone& zone = question.household.zone;
    const int digits = question.household.site.currency_digits;
    const site::Site& site = question.household.site.site;
    std::string text = fmt::format(
        "{}–{}: {}: {}.\n", clock_text(zone, slot.when.begin), clock_text(zone, slot.when.end),
        planned.amps == WholeAmps(0) ? "not charging" : "charging with " + amps_text(planned.amps),
        why_text(planned, slot, site));
    text +=
        fmt::format("  price  {} {} per kWh with tax\n",
                    tariff::price_at(question.prices, slot.when.begin).name, rate_text(slot.price, digits));
    if (plan.marginal_price) {
        text += fmt::format("  dearest the plan pays  {} per kWh\n", rate_text(*plan.marginal_price, digits));
    }
    text += fmt::format("  room   {}, limited by {}\n", amps_text(slot.most), bound_text(slot.bound, site));
    text += other_way(question, plan, index) + rooms(question, plan);
    for (const std::string& line : price_notes(question)) text += line + "\n";
    return text;
}

}  // namespace

io::Read<Answer> why_answer(const Question& question, const std::string& slot) {
    const Zone& zone = question.household.zone;
    const auto at = slot.empty() ? std::optional(question.present.begin)
                                 : parse_time(slot, zone, question.present.begin - Seconds{1});
    const auto& slots = question.problem.slots;
    const auto found =
        at ? std::ranges::find_if(slots, [&](const plan::Slot& each) { return *at < each.when.end; })
           : slots.end();
    if (found == slots.end() || (!slot.empty() && *at < question.present.begin)) {
        return io::Faults{
            {kCommandLine, 0, 0, "--slot", "is no time of this night", slot,
             fmt::format("a time from {} to {}", day_and_clock_text(zone, question.present.begin),
                         day_and_clock_text(zone, question.present.end)),
             ""}};
    }
    const auto index = static_cast<std::size_t>(found - slots.begin());
    const plan::Plan plan = plan::solve(question.problem);
    return Answer{sentence(question, plan, index), why_json(question, plan, index)};
}

}  // namespace lullwatt::tools
