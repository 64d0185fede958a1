#include "core/account/blocks.hpp"

#include <algorithm>

#include "core/tariff/window.hpp"

namespace lullwatt::account {

using tariff::BlockCharge;
using tariff::Tariff;

MilliwattHours rounded_energy(MilliwattHours energy, MilliwattHours step) {
    if (step.count() == 0) return energy;
    return MilliwattHours(
        static_cast<std::int64_t>(nearest_quotient(energy.count(), step.count()) * step.count()));
}

Limits limits_of(const BlockCharge& block, Multiple multiple) {
    Limits limits;
    for (const BlockCharge::Step& step : block.steps) {
        if (step.up_to) limits.push_back(rounded_energy(times(*step.up_to, multiple), block.round_limits));
    }
    return limits;
}

std::vector<MilliwattHours> by_step(const Limits& limits, MilliwattHours before, MilliwattHours energy) {
    // What lies between two limits of everything used up to a level.
    const auto within = [&](std::size_t step, MilliwattHours level) {
        if (step > 0) level = std::max(level, limits[step - 1]);
        return step < limits.size() ? std::min(level, limits[step]) : level;
    };
    std::vector<MilliwattHours> parts;
    for (std::size_t step = 0; step <= limits.size(); ++step)
        parts.emplace_back(within(step, MilliwattHours(before + energy)) - within(step, before));
    return parts;
}

std::string step_text(const Limits& limits, std::size_t step) {
    const auto kilowatt_hours = [&](std::size_t i) { return decimal_text(limits[i].count(), 6) + " kWh"; };
    if (limits.empty()) return "";
    if (step == 0) return "first " + kilowatt_hours(0);
    const std::string above = "above " + kilowatt_hours(step - 1);
    return step == limits.size() ? above : above + " to " + kilowatt_hours(step);
}

std::vector<DateSpan> counts_of(const Tariff& tariff, const BlockCharge& block, DateSpan days) {
    std::vector<DateSpan> found{days};
    if (block.over != BlockCharge::Over::season && block.over != BlockCharge::Over::year) return found;
    const auto begins_on = [&](date::sys_days at) {
        const CivilDate day{at};
        if (block.over == BlockCharge::Over::year)
            return date::month_day{day.month(), day.day()} == block.year_begins;
        return tariff::season_of(tariff, day) != tariff::season_of(tariff, CivilDate{at - date::days{1}});
    };
    for (auto at = date::sys_days{days.from} + date::days{1}; at < date::sys_days{days.to};
         at += date::days{1}) {
        if (!begins_on(at)) continue;
        found.back().to = CivilDate{at};
        found.push_back({CivilDate{at}, days.to});
    }
    return found;
}

CivilDate counted_since(const Tariff& tariff, const BlockCharge& block, CivilDate day) {
    if (block.over == BlockCharge::Over::season) {
        date::sys_days at{day};
        const auto season = tariff::season_of(tariff, day);
        const date::sys_days year_ago = at - date::days{366};
        while (at > year_ago && tariff::season_of(tariff, CivilDate{at - date::days{1}}) == season)
            at -= date::days{1};
        return CivilDate{at};
    }
    const auto begin = [&](date::year year) {
        return CivilDate{year / block.year_begins.month() / block.year_begins.day()};
    };
    return day < begin(day.year()) ? begin(day.year() - date::years{1}) : begin(day.year());
}

}  // namespace lullwatt::account
