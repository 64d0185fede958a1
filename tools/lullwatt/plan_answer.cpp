#include <algorithm>
#include <vector>

#include <fmt/format.h>

#include "core/plan/exact_cost.hpp"
#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/answer_json.hpp"
#include "tools/lullwatt/picture.hpp"
#include "tools/lullwatt/price_notes.hpp"
#include "tools/lullwatt/question.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

// Neighbouring slots that carry the same for the same reason, told as one.
struct Stretch {
    Interval when;
    WholeAmps amps;
    WholeAmps least_room;
    WholeAmps most_room;
    const tariff::PricePiece* price = nullptr;
    std::size_t first = 0;
    ExactAmount cost;
};

std::vector<Stretch> stretches(const Question& question, const plan::Plan& plan) {
    std::vector<Stretch> found;
    for (std::size_t i = 0; i < plan.slots.size(); ++i) {
        const plan::Slot& slot = question.problem.slots[i];
        const auto& price = tariff::price_at(question.prices, slot.when.begin);
        const ExactAmount cost = plan::cost_of(question.problem, plan, i);
        const bool same = i > 0 && found.back().price == &price && plan.slots[i] == plan.slots[i - 1] &&
                          slot.bound == question.problem.slots[i - 1].bound;
        if (!same) found.push_back({slot.when, plan.slots[i].amps, slot.most, slot.most, &price, i, {}});
        Stretch& last = found.back();
        last.when.end = slot.when.end;
        last.least_room = std::min(last.least_room, slot.most);
        last.most_room = std::max(last.most_room, slot.most);
        last.cost += cost;
    }
    return found;
}

std::string room_text(const Stretch& stretch) {
    if (stretch.least_room == stretch.most_room) return amps_text(stretch.most_room);
    return fmt::format("{}–{}", stretch.least_room.count(), amps_text(stretch.most_room));
}

std::string table(const Question& question, const plan::Plan& plan) {
    const Zone& zone = question.household.zone;
    const int digits = question.household.site.currency_digits;
    std::string text = fmt::format("  {:<11} {:>5} {:>9}  {:<12} {:>8}  {}\n", "from to", "amps", "room",
                                   "price", "cost", "why");
    for (const Stretch& stretch : stretches(question, plan)) {
        text += fmt::format("  {:<13} {:>5} {:>9}  {:<12} {:>8}  {}\n",
                            clock_text(zone, stretch.when.begin) + "–" + clock_text(zone, stretch.when.end),
                            stretch.amps == WholeAmps(0) ? "-" : amps_text(stretch.amps), room_text(stretch),
                            stretch.price->name,
                            stretch.amps == WholeAmps(0) ? "" : cost_text(stretch.cost, digits),
                            why_text(plan.slots[stretch.first], question.problem.slots[stretch.first],
                                     question.household.site.site));
    }
    return text;
}

std::string drawing(const Question& question, const plan::Plan& plan) {
    std::vector<PictureSlot> slots;
    for (std::size_t i = 0; i < plan.slots.size(); ++i) {
        const plan::Slot& slot = question.problem.slots[i];
        slots.push_back({slot.when, plan.slots[i].amps,
                         slot.most < question.problem.least ? WholeAmps(0) : slot.most, slot.price,
                         tariff::price_at(question.prices, slot.when.begin).name});
    }
    return picture(slots, question.household.zone, question.household.site.currency_digits);
}

std::string headline(const Question& question, const plan::Plan& plan) {
    const Zone& zone = question.household.zone;
    const int digits = question.household.site.currency_digits;
    const std::string note =
        question.ready_by_note.empty() ? "" : fmt::format(" ({})", question.ready_by_note);
    std::string text = fmt::format(
        "{} at {}, {} to {}{}: {} of {}, {} {}.\n", question.settings().car.name, question.point().name,
        day_and_clock_text(zone, question.present.begin), day_and_clock_text(zone, question.present.end),
        note, energy_text(plan.delivered - plan.lost), energy_text(question.request.need),
        cost_text(plan.energy_cost, digits), question.household.site.currency);
    if (plan.objective.short_by > MilliwattHours{}) {
        text += fmt::format("{} short: `lullwatt when` says what would help.\n",
                            energy_text(plan.objective.short_by));
    }
    text += fmt::format("Proof: no feasible plan costs less than {} with its starts; this one costs {}.\n",
                        cost_text(plan.lower_bound, 6), cost_text(plan.objective.cost, 6));
    for (const std::string& line : price_notes(question)) text += line + "\n";
    return text;
}

}  // namespace

Answer plan_answer(const Question& question) {
    const plan::Plan plan = plan::solve(question.problem);
    const std::string text =
        question.problem.slots.empty()
            ? "Nothing is left of the time until ready-by.\n"
            : headline(question, plan) + "\n" + drawing(question, plan) + "\n" + table(question, plan);
    return {text, plan_json(question, plan)};
}

}  // namespace lullwatt::tools
