#include "tools/lullwatt/price_notes.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "core/tariff/left_out.hpp"
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
    tariff::LeftOut all;
    const io::Household& house = question.household;
    for (const std::size_t index : io::supplies_at(house, question.point().circuit)) {
        const io::Supply& supply = house.supplies[index];
        const tariff::LeftOut left = tariff::left_out(supply.tariff, supply.clock, present);
        all.blocks |= left.blocks;
        all.demand |= left.demand;
    }
    if (all.blocks) notes.push_back("Blocks count at their dearest step.");
    if (all.demand) notes.push_back("Demand charges are not counted: this tariff charges the highest power.");
    return notes;
}

}  // namespace lullwatt::tools
