#include <algorithm>
#include <utility>
#include <vector>

#include <date/date.h>
#include <fmt/format.h>

#include "core/plan/evaluate.hpp"
#include "core/plan/explain.hpp"
#include "core/plan/held.hpp"
#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/answer_json.hpp"
#include "tools/lullwatt/month_text.hpp"
#include "tools/lullwatt/night.hpp"
#include "tools/lullwatt/node_worth.hpp"
#include "tools/lullwatt/option_fault.hpp"
#include "tools/lullwatt/price_notes.hpp"
#include "tools/lullwatt/time_option.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

// What the night would be like the other way, re-planned with this slot turned over.
std::string other_way(const Question& question, const plan::Plan& plan, std::size_t index,
                      const std::optional<plan::MonthPlan>& other) {
    const bool on = plan.slots[index].amps > WholeAmps(0);
    if (other) {
        std::string text = fmt::format("  {}  {}\n", on ? "without it " : "if it did  ",
                                       worse_text(plan.objective, other->plan.objective));
        for (std::size_t i = 0; i < other->peaks.size(); ++i) {
            const std::string raised = raised_text(question.month.peaks[i], other->peaks[i],
                                                   question.household.site.currency_digits);
            if (!raised.empty()) text += fmt::format("               that {}\n", raised);
        }
        return text;
    }
    return plan::can_charge(question.asked_problem, index)
               ? "  if it did   no plan would end within one slot of the need\n"
               : "";
}

// Where the peak keeps the slot from more: what that would add to the bill, all else as it is planned.
std::string filled(const Question& question, const plan::Plan& plan, std::size_t index) {
    if (question.problem.slots[index].bound.kind != plan::BoundKind::peak) return {};
    const WholeAmps most = question.asked_problem.slots[index].most;
    std::vector<WholeAmps> drawn = plan::drawn_of(plan);
    drawn[index] = most;
    std::string text;
    for (std::size_t i = 0; i < question.month.costs.peaks.size(); ++i) {
        const plan::PeakCharge& charge = question.month.costs.peaks[i];
        const Milliwatts peak = plan::reached(charge, question.asked_problem, drawn);
        const plan::PeakOutcome outcome{charge.free, peak, plan::whole_amount(charge.added_thirds(peak))};
        const std::string raised =
            raised_text(question.month.peaks[i], outcome, question.household.site.currency_digits);
        if (!raised.empty()) text += fmt::format("  with {:>4}  {}\n", amps_text(most), raised);
    }
    return text;
}

// What one ampere more would be worth at each node that keeps the car from more this night.
std::string rooms(const Night& night, const std::vector<NodeWorth>& worths) {
    std::string text;
    for (const NodeWorth& worth : worths)
        text += "  " + worth_text(worth, night.asked().question.household.site.site) + "\n";
    return text;
}

// "02:30 does not exist that night: this is the first time that does." Empty for labels that are there once.
std::string slot_note(const Zone& zone, const std::optional<CivilTime>& label, Instant at) {
    if (label && zone.instants(*label).size() > 1 && zone.instants(*label).back() == at) {
        return fmt::format("The answer is of the second of two {} that night: the first is before it.",
                           date::format("%H:%M", *label));
    }
    const std::string note = label ? label_note(zone, *label) : "";
    if (note.empty()) return {};
    if (zone.instants(*label).empty())
        return fmt::format("{}: the answer is of {}, the first time after it.", note, clock_text(zone, at));
    return fmt::format("The answer is of {}.", note);
}

bool floor_and_more(const plan::Plan& plan) {
    const auto of_floor = [](const plan::PlannedSlot& slot) { return slot.why == plan::Why::floor; };
    return std::ranges::any_of(plan.slots, of_floor) &&
           std::ranges::any_of(plan.slots, [&](const plan::PlannedSlot& slot) {
               return slot.amps > WholeAmps(0) && !of_floor(slot);
           });
}

std::string sentence(const Night& night, std::size_t index, const std::vector<NodeWorth>& worths,
                     const std::string& slot_note) {
    const Question& question = night.asked().question;
    const plan::MonthPlan& month = night.asked().month;
    const plan::Plan& plan = month.plan;
    const plan::Slot& slot = question.problem.slots[index];
    plan::PlannedSlot planned = plan.slots[index];
    const auto other = plan::otherwise(question.asked_problem, question.month.costs, plan, index);
    if (other) planned.why = plan::proven_why(question.problem, plan, index, other->plan.objective);
    const Zone& zone = question.household.zone;
    const int digits = question.household.site.currency_digits;
    const site::Site& site = question.household.site.site;
    const plan::Holding held = plan::Holders(site, question.beside).of(slot);
    std::string text;
    for (const std::string& line : hand_warnings(question)) text += line + "\n\n";
    if (!slot_note.empty()) text += slot_note + "\n";
    text += fmt::format(
        "{}–{}: {}: {}.\n", clock_text(zone, slot.when.begin), clock_text(zone, slot.when.end),
        planned.amps == WholeAmps(0) ? "not charging" : "charging with " + amps_text(planned.amps),
        why_text(planned, slot, site, held));
    text +=
        fmt::format("  price  {} {} per kWh with tax\n",
                    tariff::price_at(question.prices, slot.when.begin).name, rate_text(slot.price, digits));
    if (plan.marginal_price) {
        text += fmt::format("  dearest the plan {}  {} per kWh\n",
                            floor_and_more(plan) ? "pays beyond the floor" : "pays",
                            rate_text(*plan.marginal_price, digits));
    }
    text +=
        fmt::format("  room   {}, limited by {}\n", amps_text(slot.most), bound_text(slot.bound, site, held));
    text += filled(question, plan, index) + other_way(question, plan, index, other) + rooms(night, worths);
    for (const std::string& line : month_lines(question, month)) text += line + "\n";
    for (const std::string& line : price_notes(question)) text += line + "\n";
    for (const std::string& line : beside_texts(night)) text += line + "\n";
    return text;
}

}  // namespace

io::Read<Answer> why_answer(const Night& night, const std::string& slot) {
    const Question& question = night.asked().question;
    const Zone& zone = question.household.zone;
    const auto asked = slot.empty() ? std::optional(TimeWithin{question.present.begin, {}})
                                    : parse_time_within(slot, zone, question.present);
    if (!asked) return io::Faults{no_time("--slot", slot)};
    const Instant at = asked->at;
    const auto& slots = question.problem.slots;
    const auto found =
        std::ranges::find_if(slots, [&](const plan::Slot& each) { return at < each.when.end; });
    if (found == slots.end() || (!slot.empty() && at < question.present.begin)) {
        return io::Faults{
            {kCommandLine, 0, 0, "--slot", "is no time of this night", slot,
             fmt::format("a time from {} to {}", day_and_clock_text(zone, question.present.begin),
                         day_and_clock_text(zone, question.present.end)),
             ""}};
    }
    const auto index = static_cast<std::size_t>(found - slots.begin());
    const auto worths = node_worths(night);
    const std::string note = slot_note(zone, asked->label, at);
    return Answer{sentence(night, index, worths, note), why_json(night, index, worths, note)};
}

}  // namespace lullwatt::tools
