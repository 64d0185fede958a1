#include "tools/lullwatt/price_notes.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "core/tariff/left_out.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {

std::vector<std::string> price_notes(const Question& question) {
    std::vector<std::string> notes;
    const Interval present = question.present;
    const auto assumed = std::ranges::find_if(question.prices, [&](const tariff::PricePiece& piece) {
        return piece.assumed && piece.when.end > present.begin && piece.when.begin < present.end;
    });
    if (assumed != question.prices.end()) {
        notes.push_back(fmt::format(
            "Prices from {} on are assumed, for none are announced.",
            day_and_clock_text(question.household.zone, std::max(assumed->when.begin, present.begin))));
    }
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
