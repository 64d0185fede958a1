#include <algorithm>
#include <memory>
#include <ostream>
#include <utility>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "core/plan/explain.hpp"
#include "tools/lullwatt/answer_json.hpp"
#include "tools/lullwatt/command.hpp"
#include "tools/lullwatt/month_text.hpp"
#include "tools/lullwatt/night.hpp"
#include "tools/lullwatt/node_worth.hpp"
#include "tools/lullwatt/price_notes.hpp"
#include "tools/lullwatt/time_option.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

struct WhyOptions {
    QuestionOptions question;
    std::string slot;
};

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
    std::vector<WholeAmps> drawn;
    for (const plan::PlannedSlot& slot : plan.slots) drawn.push_back(slot.drawn);
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

std::string sentence(const Night& night, std::size_t index) {
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
    text += filled(question, plan, index) + other_way(question, plan, index, other) + rooms(question, plan);
    for (const std::string& line : month_lines(question, month)) text += line + "\n";
    for (const std::string& line : price_notes(question)) text += line + "\n";
    for (const std::string& line : beside_texts(night)) text += line + "\n";
    return text;
}

Exit act(const WhyOptions& options, Shell& shell) {
    const bool json = options.question.site.json;
    const auto asked = plan_night(options.question, Whom::one);
    if (!asked.ok()) {
        print_faults(shell, asked.faults(), json);
        return exit_of(asked.faults());
    }
    const Night& night = asked.value();
    const Question& question = night.asked().question;
    const Zone& zone = question.household.zone;
    const auto at = options.slot.empty()
                        ? std::optional(question.present.begin)
                        : parse_time(options.slot, zone, question.present.begin - Seconds{1});
    if (!at) {
        print_faults(shell, {{"command line", 0, 0, "--slot", "is no time", options.slot, kTimeForms, ""}},
                     json);
        return Exit::usage;
    }
    const auto& slots = question.problem.slots;
    const auto found =
        std::ranges::find_if(slots, [&](const plan::Slot& slot) { return *at < slot.when.end; });
    if (found == slots.end() || (!options.slot.empty() && *at < question.present.begin)) {
        print_faults(shell,
                     {{"command line", 0, 0, "--slot", "is no time of this night", options.slot,
                       fmt::format("a time from {} to {}", day_and_clock_text(zone, question.present.begin),
                                   day_and_clock_text(zone, question.present.end)),
                       ""}},
                     json);
        return Exit::usage;
    }
    const auto index = static_cast<std::size_t>(found - slots.begin());
    shell.out << (json ? why_json(night, index) + "\n" : sentence(night, index));
    return Exit::done;
}

}  // namespace

Command add_why(CLI::App& app) {
    auto options = std::make_shared<WhyOptions>();
    CLI::App* command = app.add_subcommand("why", "Why a car is charging, or is not, at a time of the night");
    add_question_options(*command, options->question);
    command->add_option("--slot", options->slot, "The time asked about; plug-in where it is not said.")
        ->type_name("TIME")
        ->each([options](const std::string& value) {
            if (value.empty()) options->question.left_empty.emplace_back("--slot");
        });
    command->footer("Example:\n  lullwatt why --car Heron --need 18.6 --slot 21:30");
    return {command, [options](Shell& shell) { return act(*options, shell); }};
}

}  // namespace lullwatt::tools
