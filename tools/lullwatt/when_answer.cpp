#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "core/plan/held.hpp"
#include "tools/lullwatt/answer.hpp"
#include "tools/lullwatt/answer_json.hpp"
#include "tools/lullwatt/month_text.hpp"
#include "tools/lullwatt/night.hpp"
#include "tools/lullwatt/old_data.hpp"
#include "tools/lullwatt/outings.hpp"
#include "tools/lullwatt/price_notes.hpp"
#include "tools/lullwatt/when_text.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

// The full hours of the night, and its begin.
std::vector<std::size_t> full_hours(const Question& question) {
    std::vector<std::size_t> found{0};
    const auto& slots = question.asked_problem.slots;
    for (std::size_t slot = 1; slot < slots.size(); ++slot) {
        if (slots[slot].when.begin.time_since_epoch() % std::chrono::hours{1} == Seconds{0})
            found.push_back(slot);
    }
    return found;
}

// A cure's money with what the month adds to the night it makes.
void add_month(const Question& question, Interval present, std::optional<plan::Cure>& cure) {
    if (!cure || question.month.costs.none()) return;
    const auto problem = question.rephrased(present);
    if (!problem || problem->slots.empty()) return;
    cure->objective = plan::solve_month(*problem, question.month_of(*problem).costs).plan.objective;
}

WhenWords answer(const Question& question, const plan::MonthWhen& found) {
    const plan::When& when = found.when;
    WhenWords words{.problem = question.problem,
                    .when = when,
                    .zone = question.household.zone,
                    .currency_digits = question.household.site.currency_digits,
                    .now = question.now,
                    .ready_by = question.present.end,
                    .ready_by_note = question.ready_by_note,
                    .month = found.best,
                    .steps = question.month.steps,
                    .plugged_in =
                        [&question](std::size_t slot) {
                            return plan::plugged_in_at(question.asked_problem, question.month.costs, slot);
                        },
                    .not_enough =
                        [&question](const plan::MonthPlan& then) {
                            const auto lacking = lacks(question, then.problem, then.plan);
                            return lacking.empty()
                                       ? std::string()
                                       : "not enough for " + day_and_clock_text(question.household.zone,
                                                                                lacking.front().outing.begin);
                        },
                    .earlier_plug_in = {},
                    .later_ready_by = {},
                    .rows = {},
                    .leave_it = {}};
    if (when.best.objective.short_by > kNothing) {
        const plan::Rephrase rephrase = [&](Interval other) { return question.rephrased(other); };
        words.earlier_plug_in =
            plan::cure_by_earlier_plug_in(rephrase, question.present, question.earliest_plug_in());
        words.later_ready_by =
            plan::cure_by_later_ready_by(rephrase, question.present, question.latest_ready_by());
        if (words.earlier_plug_in)
            add_month(question, {words.earlier_plug_in->at, question.present.end}, words.earlier_plug_in);
        if (words.later_ready_by)
            add_month(question, {question.present.begin, words.later_ready_by->at}, words.later_ready_by);
    }
    return words;
}

// The cars that take room this one would have without them, in any slot of the night.
std::vector<std::string> cars_that_leave_it(const Question& question) {
    plan::Holders holders(question.household.site.site, question.beside);
    std::vector<std::string> names;
    for (const plan::Slot& slot : question.problem.slots) {
        for (const plan::Held& one : holders.of(slot, question.beside.size()).named) {
            if (std::ranges::find(names, one.car) == names.end()) names.push_back(one.car);
        }
    }
    return names;
}

// What cannot wait until after the answer.
std::string warnings_text(const Question& question) {
    std::string text;
    for (const std::string& line : hand_warnings(question)) text += line + "\n\n";
    for (const std::string& line : old_data(question.household, question.now)) text += line + "\n\n";
    return text;
}

std::string notes_text(const Question& question, const plan::MonthPlan& month) {
    std::string text;
    for (const std::string& line : month_lines(question, month)) text += " " + line;
    for (const std::string& note : price_notes(question)) text += " " + note;
    for (const std::string& warning : outing_warnings(question, month.plan)) text += "\n" + warning;
    return text;
}

struct QuietNight {
    CivilDate evening;
    ExactAmount cost;
};

// The cheapest night to put back what the habits of `until` take, of those between tonight and then.
std::optional<QuietNight> cheapest_night(const Question& question, CivilDate today, CivilDate until) {
    const auto& car = question.settings();
    const Zone& zone = question.household.zone;
    std::optional<QuietNight> best;
    for (date::local_days day = date::local_days{today} + kDay; CivilDate{day + kDay} <= until; day += kDay) {
        const vehicle::Habit* out = vehicle::habit_on(car.habits, CivilDate{day});
        const vehicle::Habit* next = vehicle::habit_on(car.habits, CivilDate{day + kDay});
        const Instant back =
            std::max(question.now, zone.instant(day + (out != nullptr ? out->returns : Seconds{64800})));
        const Instant ready = zone.instant(day + kDay + (next != nullptr ? next->leaves : car.ready_by));
        auto prices = io::prices(question.household, car.point, {back, ready});
        if (ready <= back || !prices.ok()) continue;
        plan::Request request = question.request;
        request.present = {back, ready};
        request.floor = kNothing;
        request.absences.clear();  // tonight's, and the taper goes by tonight's charge
        request.taper.clear();
        request.need = MilliwattHours(
            std::llround(static_cast<double>(
                             vehicle::battery_use(car.car, *vehicle::habit_on(car.habits, until)).count()) *
                         1000 / car.car.efficiency));
        const auto problem = plan::assemble(question.household.site.site, car.point, car.car,
                                            io::loads(question.household, {back, ready}),
                                            question.household.unattended, prices.value(), zone, request);
        if (problem.slots.empty()) continue;
        const plan::Plan plan = plan::solve(problem);
        if (plan.objective.short_by == kNothing && (!best || plan.energy_cost < best->cost)) {
            best = QuietNight{CivilDate{day}, plan.energy_cost};
        }
    }
    return best;
}

std::string weekday_text(CivilDate date) {
    const std::string whole = date_text(date);
    return whole.substr(0, whole.find(' '));
}

// A weekday a week or more ahead would be taken for the nearer one.
std::string until_text(CivilDate today, CivilDate until) {
    const bool near = date::local_days{until} - date::local_days{today} < date::days{7};
    return near ? weekday_text(until) : date_text(until);
}

std::string no_need(const Question& question) {
    const auto& car = question.settings();
    const CivilDate today{date::floor<date::days>(question.household.zone.civil(question.now))};
    if (!question.charge || car.habits.empty() || !car.car.per_100_km)
        return "No need tonight: there is enough.";
    const WattHours held(
        std::llround(static_cast<double>(car.car.battery.count()) * question.charge->percent / 100));
    const CivilDate tomorrow{date::local_days{today} + kDay};
    const auto until = vehicle::runs_short_on(car.car, car.habits, held, tomorrow);
    if (!until) return "No need tonight: enough for the next two weeks by habit.";
    std::string text = fmt::format("No need tonight: enough until {}", until_text(today, *until));
    if (const auto night = cheapest_night(question, today, *until)) {
        text += fmt::format("; {} night is cheapest, about {}", weekday_text(night->evening),
                            cost_text(night->cost, question.household.site.currency_digits));
    }
    return text + ".";
}

}  // namespace

Answer when_answer(const Night& night, Progress& progress) {
    Question question = night.asked().question;
    if (question.request.need == kNothing || question.problem.slots.empty()) {
        const std::string sentence = question.request.need == kNothing
                                         ? no_need(question)
                                         : "Nothing is left of the time until ready-by.";
        return {sentence + "\n", sentence_json(question, sentence)};
    }
    plan::MonthWhen when =
        plan::answer_when(question.asked_problem, question.month.costs, full_hours(question));
    keep_drivable(question, when.when);
    question.problem = when.best.problem;
    WhenWords words = answer(question, when);
    if (when.when.best.objective.short_by > kNothing) words.leave_it = cars_that_leave_it(question);
    words.rows = when_rows(words, progress);
    const std::string sentence =
        warnings_text(question) + when_sentences(words) + notes_text(question, when.best);
    std::string text = sentence + "\n\n" + when_table(words);
    const std::vector<std::string> others = beside_texts(night);
    if (!others.empty()) text += "\n";
    for (const std::string& line : others) text += line + "\n";
    return {text, when_json(night, words, sentence)};
}

}  // namespace lullwatt::tools
