#include "io/household/demand_power.hpp"

#include <algorithm>

#include "core/account/standing_lines.hpp"

namespace lullwatt::io {

bool never_falls(const tariff::DemandCharge& charge) {
    const auto amount = [&](Milliwatts power) { return account::demand_amount(charge, power, {}); };
    return std::ranges::all_of(charge.steps, [&](const tariff::DemandCharge::Step& step) {
        const bool over_limit =
            !step.up_to || amount(*step.up_to) <= amount(Milliwatts(step.up_to->count() + 1));
        return step.rate >= DemandRate(0) && over_limit;
    });
}

Milliwatts highest_house(const std::vector<plan::CountedInterval>& intervals) {
    Wide house = 0;
    for (const plan::CountedInterval& interval : intervals) {
        const Wide counts = static_cast<Wide>(interval.house.count()) * interval.share;
        house = std::max(house, (counts + plan::kAllCounts - 1) / plan::kAllCounts);
    }
    return Milliwatts(static_cast<std::int64_t>(house));
}

}  // namespace lullwatt::io
