#include "tools/lullwatt/when_text.hpp"

#include <algorithm>
#include <cctype>
#include <utility>

#include <fmt/format.h>

#include "tools/lullwatt/current_text.hpp"
#include "tools/lullwatt/month_text.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

constexpr std::size_t kMostRows = 12;

std::string cost(const WhenWords& words, ExactAmount amount) {
    return cost_text(amount, words.currency_digits);
}

// A time within a day needs no weekday to be understood, a later one does.
std::string time_text(const WhenWords& words, Instant at) {
    const bool soon = at - words.now < date::days{1};
    return soon ? clock_text(words.zone, at) : day_and_clock_text(words.zone, at);
}

// "23:00–01:30 and 03:00–04:10" where the plan stops in between, else empty.
std::string stretches(const WhenWords& words) {
    const auto& slots = words.when.best.slots;
    std::vector<Interval> runs;
    for (std::size_t i = 0; i < slots.size(); ++i) {
        if (slots[i].amps == WholeAmps(0)) continue;
        const Interval when = words.problem.slots[i].when;
        if (!runs.empty() && runs.back().end == when.begin) {
            runs.back().end = when.end;
        } else {
            runs.push_back(when);
        }
    }
    if (runs.size() < 2) return {};
    std::string text;
    for (const Interval& run : runs) {
        text += fmt::format("{}{}–{}", text.empty() ? "" : ", ", time_text(words, run.begin),
                            time_text(words, run.end));
    }
    return fmt::format(" In {} stretches: {}.", runs.size(), text);
}

bool starts_at_once(const WhenWords& words) { return words.when.best.slots.front().amps > WholeAmps(0); }

std::string at_once(const WhenWords& words) {
    const auto& hurried = words.when.at_once;
    if (hurried.objective.short_by > words.when.best.objective.short_by) return {};
    // The difference of what is printed, so that the sentence adds up.
    const Money more = rounded(bill_cost(hurried), words.currency_digits) -
                       rounded(bill_cost(words.when.best), words.currency_digits);
    if (more == Money(0)) return {};
    // A plan that starts at once may still go slowly, or pause, in dear hours.
    return fmt::format(" {}: {} ({}{}).", starts_at_once(words) ? "At full current all along" : "At once",
                       cost(words, bill_cost(hurried)), more < Money(0) ? "" : "+",
                       money_text(more, words.currency_digits));
}

std::string ready_by_text(const WhenWords& words) {
    const std::string note = words.ready_by_note.empty() ? "" : fmt::format(" ({})", words.ready_by_note);
    return time_text(words, words.ready_by) + note;
}

std::string latest_in_time(const WhenWords& words, std::string_view what) {
    const Instant at = words.problem.slots[words.when.latest_in_time].when.begin;
    return fmt::format(" Latest {}to be ready by {}: {}.", what, ready_by_text(words), time_text(words, at));
}

// ", 1.2 kWh of it above the price cap"; nothing where none is.
std::string above_cap_text(const plan::Objective& objective) {
    if (objective.above_cap == kNothing) return {};
    return fmt::format(", {} of it above the price cap", some_energy_text(objective.above_cap));
}

std::string charge(const WhenWords& words, Interval span) {
    const auto& best = words.when.best;
    const std::string lost =
        best.lost > kNothing ? fmt::format(" ({} of it lost in charging)", energy_text(best.lost)) : "";
    return fmt::format("{}{}, ready {}, about {}{}", energy_text(best.delivered), lost,
                       time_text(words, span.end), cost(words, bill_cost(best)),
                       above_cap_text(best.objective));
}

// The part of the need that does not wait for cheap hours: "the first 5.0 kWh".
std::string floor_part(const WhenWords& words) {
    const bool all = words.problem.floor >= words.problem.need;
    return all ? "all of it" : "the first " + energy_text(words.problem.floor);
}

// Whether the plan charges the floor at once: not where there is none, where the hours do not carry it, nor
// where by waiting less is short.
bool floor_is_kept(const WhenWords& words) {
    return words.problem.floor > kNothing && plan::keeps_floor(words.problem, words.when.best);
}

// What a later plug-in means: until when it costs no more, and that a floor never waits.
std::string lead(const WhenWords& words) {
    const auto begin_of = [&](std::size_t slot) { return words.problem.slots[slot].when.begin; };
    const bool waits = words.when.latest_cheapest > 0;
    const bool later = begin_of(0) - words.now >= std::chrono::minutes{1};  // --plug-in said so
    std::string plug_in = later ? "Plug in at " + time_text(words, begin_of(0)) : "Plug in now";
    if (waits) {
        plug_in =
            fmt::format("Plug in any time before {}", time_text(words, begin_of(words.when.latest_cheapest)));
    }
    if (!floor_is_kept(words)) return plug_in + ".";
    const bool cheaper =
        plan::dearness(words.when.plug_in[words.when.least_until], words.when.best.objective) < 0;
    std::string text = fmt::format("{}: {} is charged at once on plug-in.", plug_in, floor_part(words));
    if (!waits) text += " Later is dearer";
    if (!waits && !cheaper) return text + ".";
    if (!cheaper) return text;
    const auto& least = words.when.plug_in[words.when.least_until];
    text += waits ? " It costs least plugged in" : ", but least plugged in";
    if (words.when.least_from == words.when.least_until) {
        text += fmt::format(" at {}", time_text(words, begin_of(words.when.least_until)));
    } else {
        text += fmt::format(" from {} to {}", time_text(words, begin_of(words.when.least_from)),
                            time_text(words, begin_of(words.when.least_until)));
    }
    return fmt::format("{}, about {}{}.", text, cost(words, bill(words, least)), above_cap_text(least));
}

std::string driven(const WhenWords& words, Interval span) {
    const std::string begin = !starts_at_once(words)
                                  ? fmt::format("It starts by itself at {}", time_text(words, span.begin))
                              : words.when.latest_cheapest == 0
                                  ? "It starts at once"
                                  : fmt::format("Plugged in at {} it starts at once",
                                                time_text(words, words.problem.slots.front().when.begin));
    return fmt::format("{} {}, {}, {}.{}{}{}", lead(words), begin, current_text(words.when.best),
                       charge(words, span), stretches(words), at_once(words), latest_in_time(words, ""));
}

std::string by_hand(const WhenWords& words, Interval span) {
    std::string why;
    if (floor_is_kept(words)) {
        why = fmt::format(" It starts at once, for {} is not to wait.", floor_part(words));
    } else if (words.problem.floor > kNothing) {
        std::string part = floor_part(words);
        part.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(part.front())));
        why = fmt::format(
            " {} has to wait: begun at once, charging would leave it short, or would have to be stopped.",
            part);
    }
    return fmt::format("Set the car to start at {} and {}. {}.{}{}{}", time_text(words, span.begin),
                       amps_text(plan::greatest_current(words.when.best)), charge(words, span), why,
                       at_once(words), latest_in_time(words, "start "));
}

std::string cures(const WhenWords& words) {
    const auto& earlier = words.earlier_plug_in;
    const bool past = earlier && earlier->at < words.now;
    std::string helps;
    if (words.later_ready_by) {
        helps += fmt::format("\n  ready by {} instead, all of it, for about {}{}",
                             day_and_clock_text(words.zone, words.later_ready_by->at),
                             cost(words, bill(words, words.later_ready_by->objective)),
                             above_cap_text(words.later_ready_by->objective));
    }
    if (earlier) {
        helps +=
            fmt::format("\n  plugged in by {} it would all {}, for about {}{}",
                        day_and_clock_text(words.zone, earlier->at), past ? "have been in" : "be in",
                        cost(words, bill(words, earlier->objective)), above_cap_text(earlier->objective));
    }
    if (helps.empty()) return " No plug-in or ready-by within a day either way would change that.";
    return (past && !words.later_ready_by ? " What would have helped:" : " What would help:") + helps;
}

// Whether no hour the car could charge in is left, or beside others no ampere.
bool all_used(const WhenWords& words) {
    for (std::size_t i = 0; i < words.problem.slots.size(); ++i) {
        const WholeAmps most = words.problem.slots[i].most;
        const WholeAmps amps = words.when.best.slots[i].amps;
        const bool used = words.leave_it.empty() ? amps > WholeAmps(0) : amps >= most;
        if (most >= words.problem.least && !used) return false;
    }
    return true;
}

std::string what_it_uses(const WhenWords& words, Interval span) {
    if (!all_used(words))
        return fmt::format("charges from {} to {}", time_text(words, span.begin), time_text(words, span.end));
    if (words.leave_it.empty()) return "uses every hour there is";
    return fmt::format("uses all that {} as planned {} it",
                       listed_text(words.leave_it, words.leave_it.size()),
                       words.leave_it.size() == 1 ? "leaves" : "leave");
}

std::string shortfall(const WhenWords& words, std::optional<Interval> span) {
    const auto& best = words.when.best;
    const std::string only =
        fmt::format("By {} only {} of {} can be in: {} short.", ready_by_text(words),
                    energy_text(best.delivered - best.lost), energy_text(words.problem.need),
                    some_energy_text(best.objective.short_by));
    if (!span)
        return only + " There is no room for the car's least current at any time before it." + cures(words);
    const std::string now =
        words.problem.manner == plan::Manner::one_block
            ? fmt::format("Set the car to start at {} and {}", time_text(words, span->begin),
                          amps_text(plan::greatest_current(best)))
            : fmt::format("Plugged in at {} it {}", time_text(words, words.problem.slots.front().when.begin),
                          what_it_uses(words, *span));
    return fmt::format("{} {}, about {}.{}", only, now, cost(words, bill_cost(best)), cures(words));
}

// "peak 7.4 kW, step above 600 kWh".
std::string month_of_row(const WhenWords& words, const plan::MonthPlan& month) {
    std::string text;
    const auto add = [&](const std::string& part) { text += (text.empty() ? "" : ", ") + part; };
    for (const plan::PeakOutcome& peak : month.peaks) {
        if (peak.cost > ExactAmount{}) add("peak " + peak_text(peak.after));
    }
    for (std::size_t i = 0; i < month.steps.size(); ++i) {
        if (month.steps[i].taken > kNothing) add("step " + words.steps[i].steps[month.steps[i].after]);
    }
    return text;
}

WhenRow row_at(const WhenWords& words, std::size_t slot) {
    const plan::MonthPlan month = words.plugged_in(slot);
    const plan::Plan& plan = month.plan;
    const auto span = plan::charging_span(month.problem, plan);
    WhenRow row{
        month.problem.slots.front().when.begin,         plan.objective,          bill_cost(plan),
        span ? std::optional(span->end) : std::nullopt, words.not_enough(month), month_of_row(words, month)};
    if (plan.objective.short_by > kNothing) return row;
    const auto add = [&](const char* note) { row.note += std::string(row.note.empty() ? "" : "; ") + note; };
    if (slot == words.when.latest_cheapest)
        add(words.problem.floor == kNothing ? "cheapest up to here" : "no dearer up to here");
    if (slot == words.when.latest_in_time) add("latest in time");
    return row;
}

}  // namespace

ExactAmount bill(const WhenWords& words, const plan::Objective& objective) {
    constexpr Wide kAttoPerMicro = 1'000'000'000'000;
    const Wide starts = static_cast<Wide>(words.problem.start_cost.count()) * objective.starts;
    return objective.cost - ExactAmount(starts * kAttoPerMicro);
}

std::vector<WhenRow> when_rows(const WhenWords& words, Progress& progress) {
    const auto& slots = words.problem.slots;
    std::vector<std::size_t> full_hours;
    for (std::size_t slot = 1; slot < slots.size(); ++slot) {
        if (clock_text(words.zone, slots[slot].when.begin).substr(2, 3) == ":00") full_hours.push_back(slot);
    }
    const std::size_t stride = full_hours.size() / kMostRows + 1;
    std::vector<std::size_t> chosen = {0, words.when.latest_cheapest, words.when.least_from,
                                       words.when.latest_in_time};
    for (std::size_t i = 0; i < full_hours.size(); i += stride) chosen.push_back(full_hours[i]);
    std::ranges::sort(chosen);
    chosen.erase(std::unique(chosen.begin(), chosen.end()), chosen.end());
    std::erase_if(chosen, [&](std::size_t slot) { return slots[slot].bound.kind == plan::BoundKind::away; });
    std::vector<WhenRow> rows;
    for (const std::size_t slot : chosen) {
        progress.say(fmt::format("Planning: plug-in {} of {} ...", rows.size() + 1, chosen.size()));
        rows.push_back(row_at(words, slot));
    }
    progress.say("");
    return rows;
}

std::string when_sentences(const WhenWords& words) {
    const auto span = plan::charging_span(words.problem, words.when.best);
    if (words.when.best.objective.short_by > kNothing) return shortfall(words, span);
    if (!span) return "No need tonight: there is enough.";
    return words.problem.manner == plan::Manner::one_block ? by_hand(words, *span) : driven(words, *span);
}

std::string when_table(const WhenWords& words) {
    const std::vector<WhenRow>& rows = words.rows;
    const bool capped =
        std::ranges::any_of(rows, [](const WhenRow& row) { return row.objective.above_cap > kNothing; });
    const auto or_none = [](MilliwattHours energy) {
        if (energy == kNothing) return std::string("-");
        const std::string text = energy_text(energy);
        return text == energy_text(kNothing) ? "< 0.1 kWh" : text;
    };
    std::string text = fmt::format("  {:<15} {:>9}  {:<13} {:>11}{}\n", "plug in", "cost", "ready", "short",
                                   capped ? fmt::format("  {:>11}", "above cap") : "");
    for (const WhenRow& row : rows) {
        text += fmt::format(
            "  {:<15} {:>9}  {:<13} {:>11}{}  {}", day_and_clock_text(words.zone, row.at),
            cost(words, row.energy_cost), row.ready ? day_and_clock_text(words.zone, *row.ready) : "-",
            or_none(row.objective.short_by),
            capped ? fmt::format("  {:>11}", or_none(row.objective.above_cap)) : "",
            row.month.empty() ? row.note : row.note + (row.note.empty() ? "" : "; ") + row.month);
        text.erase(text.find_last_not_of(' ') + 1);
        text += '\n';
    }
    return text;
}

}  // namespace lullwatt::tools
