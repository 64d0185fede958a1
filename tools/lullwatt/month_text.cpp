#include "tools/lullwatt/month_text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

std::string last_day_text(tariff::DateSpan days) { return date_text(days.last()); }

std::string since_text(const Question& question, io::Known known, Instant until) {
    return known == io::Known::stated ? "as told"
                                      : "readings to " + day_and_clock_text(question.household.zone, until);
}

// Where the peak comes from that costs nothing more.
std::string free_text(const Question& question, const io::ToldPeak& told) {
    if (told.by_others) return "with the other cars as planned";
    const bool ahead = told.known == io::Known::readings && told.until > question.now;
    if (told.by_house || ahead || told.known == io::Known::nothing) return "what the house does alone";
    return since_text(question, told.known, told.until);
}

std::string peak_line(const Question& question, const io::ToldPeak& told, const plan::PeakOutcome& outcome) {
    const int digits = question.household.site.currency_digits;
    const std::string known = free_text(question, told);
    if (outcome.cost > ExactAmount{})
        return fmt::format("The plan {} ({}).", raised_text(told, outcome, digits), known);
    return fmt::format("The plan keeps within a peak of {}, up to which '{}' costs no more ({}).",
                       peak_text(outcome.before), told.charge, known);
}

std::string steps_line(const Question& question, const io::ToldSteps& told,
                       const plan::StepOutcome& outcome) {
    const int digits = question.household.site.currency_digits;
    const bool ahead = date::local_days{told.counts.from} > question.household.zone.civil(question.now);
    std::string text = ahead ? fmt::format("'{}' begins anew on {}", told.block, date_text(told.counts.from))
                             : fmt::format("'{}' counts {} so far ({})", told.block, energy_text(told.so_far),
                                           since_text(question, told.known, told.until));
    if (told.expected > MilliwattHours{})
        text += fmt::format(" and {} to be expected until {} without the car", energy_text(told.expected),
                            last_day_text(told.counts));
    const std::string& before = told.steps[outcome.before];
    const std::string& after = told.steps[outcome.after];
    text += outcome.before == outcome.after
                ? fmt::format("; the car's {} are in '{}'", energy_text(outcome.taken), after)
                : fmt::format("; the car's {} run from '{}' into '{}'", energy_text(outcome.taken), before,
                              after);
    return text + fmt::format(": {}.", cost_text(outcome.cost, digits));
}

}  // namespace

std::string peak_text(Milliwatts peak) {
    return fmt::format("{} kW", decimal_text((peak.count() + 9'999) / 10'000, 2, 1));
}

std::string raised_text(const io::ToldPeak& told, const plan::PeakOutcome& outcome, int digits) {
    if (outcome.cost <= ExactAmount{}) return {};
    return fmt::format("raises the bill's peak from {} to {} ('{}'): {}", peak_text(outcome.before),
                       peak_text(outcome.after), told.charge, cost_text(outcome.cost, digits));
}

std::vector<std::string> month_lines(const Question& question, const plan::MonthPlan& month) {
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < month.peaks.size(); ++i)
        lines.push_back(peak_line(question, question.month.peaks[i], month.peaks[i]));
    for (std::size_t i = 0; i < month.steps.size(); ++i) {
        if (month.steps[i].taken > MilliwattHours{})
            lines.push_back(steps_line(question, question.month.steps[i], month.steps[i]));
    }
    return lines;
}

std::vector<std::string> month_notes(const Question& question) {
    std::vector<std::string> notes;
    for (const io::ToldPeak& told : question.month.peaks) {
        if (told.known == io::Known::nothing)
            notes.push_back(fmt::format(
                "What '{}' has counted of this bill is not known: the house alone is taken for it. "
                "--month-peak tells it.",
                told.charge));
        if (told.by_slot)
            notes.push_back(fmt::format(
                "'{}' counts at any moment: each slot counts as an interval of its own, which is never less.",
                told.charge));
    }
    for (const io::UnknownUse& use : question.month.at_dearest)
        notes.push_back(
            use.ahead
                ? fmt::format("What '{}' will count from {} on is not known: there it counts at its dearest "
                              "step.",
                              use.block, date_text(use.from))
                : fmt::format("What '{}' has counted is not known: it counts at its dearest step.{}",
                              use.block, use.asked ? " --month-use tells it." : ""));
    for (const std::string& charge : question.month.not_counted)
        notes.push_back(fmt::format(
            "'{}' is not counted: it goes by a mean of several peaks of a day, or falls as they rise.",
            charge));
    return notes;
}

}  // namespace lullwatt::tools
