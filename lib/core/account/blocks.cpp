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
    std::vector<MilliwattHours> parts(limits.size() + 1);
    if (energy.count() < 0) {
        parts.front() = energy;
        return parts;
    }
    const MilliwattHours until = before + energy;
    MilliwattHours floor(0);
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const MilliwattHours top = i < limits.size() ? std::max(limits[i], floor) : std::max(until, floor);
        const MilliwattHours from = std::max(before, floor);
        const MilliwattHours to = std::min(until, top);
        if (from < to) parts[i] = to - from;
        floor = top;
    }
    return parts;
}

std::string step_text(const Limits& limits, std::size_t step) {
    const auto kilowatt_hours = [&](std::size_t i) { return decimal_text(limits[i].count(), 6) + " kWh"; };
    if (limits.empty()) return "";
    if (step == 0) return "first " + kilowatt_hours(0);
    const std::string above = "above " + kilowatt_hours(step - 1);
    return step == limits.size() ? above : above + " to " + kilowatt_hours(step);
}

CivilDate counted_since(const Tariff& tariff, const BlockCharge& block, DateSpan bill) {
    const CivilDate last = bill.last();
    if (block.over == BlockCharge::Over::season) {
        date::sys_days at{last};
        const auto season = tariff::season_of(tariff, last);
        const date::sys_days year_ago = at - date::days{366};
        while (at > year_ago && tariff::season_of(tariff, CivilDate{at - date::days{1}}) == season)
            at -= date::days{1};
        return CivilDate{at};
    }
    const auto begin = [&](date::year year) {
        return CivilDate{year / block.year_begins.month() / block.year_begins.day()};
    };
    return last < begin(last.year()) ? begin(last.year() - date::years{1}) : begin(last.year());
}

}  // namespace lullwatt::account
