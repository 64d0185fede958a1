#include "tools/lullwatt/price_notes.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "core/site/standing.hpp"
#include "tools/lullwatt/month_text.hpp"
#include "tools/lullwatt/outings.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {

std::string assumed_note(const tariff::PriceCurve& prices, Interval present, const Zone& zone) {
    std::vector<Interval> gaps;
    for (const tariff::PricePiece& piece : prices) {
        const Interval when{std::max(piece.when.begin, present.begin), std::min(piece.when.end, present.end)};
        if (!piece.assumed || when.begin >= when.end) continue;
        if (!gaps.empty() && gaps.back().end == when.begin) {
            gaps.back().end = when.end;
        } else {
            gaps.push_back(when);
        }
    }
    if (gaps.empty()) return {};
    if (gaps.size() > 3) {
        Seconds sum{0};
        for (const Interval& gap : gaps) sum += gap.length();
        return fmt::format(
            "Prices of {:g} hours, in {} pieces from {} on, are assumed, for none are announced.",
            static_cast<double>(sum.count()) / 3600, gaps.size(),
            day_and_clock_text(zone, gaps.front().begin));
    }
    std::vector<std::string> texts;
    for (const Interval& gap : gaps)
        texts.push_back(day_and_clock_text(zone, gap.begin) + "–" +
                        (gap.length() > date::days{1} ? day_and_clock_text : clock_text)(zone, gap.end));
    return fmt::format("Prices of {} are assumed, for none are announced.", fmt::join(texts, " and "));
}

std::vector<std::string> price_notes(const Question& question) {
    std::vector<std::string> notes;
    const Interval present = question.present;
    if (auto note = assumed_note(question.prices, present, question.household.zone); !note.empty())
        notes.push_back(std::move(note));
    for (const plan::Absence& absence : question.request.absences) {
        const Zone& zone = question.household.zone;
        notes.push_back(fmt::format("Away {} to {} by habit, for {}.",
                                    day_and_clock_text(zone, absence.when.begin),
                                    day_and_clock_text(zone, absence.when.end), energy_text(absence.driven)));
    }
    const vehicle::Car& car = question.settings().car;
    const bool charges = question.request.need > MilliwattHours{};
    if (charges && !car.taper.empty() && !vehicle::charge_on_arrival(question.stated))
        notes.push_back(
            fmt::format("That {} takes less when it is fuller is left out: such a need does not say "
                        "how full it is.",
                        car.name));
    if (charges && car.overhead > Watts(0) && !vehicle::told_at_battery(question.stated))
        notes.push_back(fmt::format(
            "What {} loses in charging is left out: the need is told at the register.", car.name));
    for (std::string& note : month_notes(question)) notes.push_back(std::move(note));
    return notes;
}

std::vector<std::string> outing_warnings(const Question& question, const plan::Plan& plan) {
    std::vector<std::string> warnings;
    for (const Lack& lack : lacks(question, question.problem, plan)) {
        const std::string when = day_and_clock_text(question.household.zone, lack.outing.begin);
        warnings.push_back(
            vehicle::charge_on_arrival(question.stated)
                ? fmt::format(
                      "NOT ENOUGH for {}: {} of {} lack when it leaves. Ask for that departure as its "
                      "ready-by.",
                      when, energy_text(lack.lacking), energy_text(lack.driven))
                : fmt::format("NOT ENOUGH for {}: {} are driven then, {} more than fills an empty battery.",
                              when, energy_text(lack.driven), energy_text(lack.lacking)));
    }
    return warnings;
}

std::vector<std::string> hand_warnings(const Question& question) {
    if (question.point().control != site::Control::by_hand) return {};
    const auto& house = question.household;
    const auto excess =
        site::unsafe_by_hand(house.site.site, question.settings().point, question.loads, house.unattended);
    if (!excess) return {};
    return {fmt::format(
        "NOT SAFE AT EVERY HOUR: with the house at its worst, {}, leg L{} would carry {} A where {} A may "
        "flow "
        "for hours.\n{} is set by hand, so nothing lowers it when the house wakes. Have its installer set "
        "{}.",
        house.site.site.nodes[excess->node].name, static_cast<int>(excess->leg) + 1,
        ceil_amps(excess->would_carry).count(), floor_amps(excess->may_carry).count(), question.point().name,
        excess->fits < question.point().minimum
            ? "no more than this service can bear: there is no safe setting"
            : fmt::format("{} A or less", excess->fits.count()))};
}

}  // namespace lullwatt::tools
