#include <algorithm>

#include <fmt/format.h>

#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/answer_json.hpp"
#include "tools/lullwatt/price_notes.hpp"
#include "tools/lullwatt/question.hpp"
#include "tools/lullwatt/time_option.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

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
