#include "core/site/leg_split.hpp"

#include <algorithm>
#include <cassert>

namespace lullwatt::site {
namespace {

Watts positive_mean(MilliwattHours energy, Interval when) {
    return std::max(mean_power({when, energy}), Watts(0));
}

}  // namespace

LegAmps leg_amps(Watts power, const LegSplit& split) {
    assert(split.legs.count() > 0 && split.leg_to_neutral > Volts(0));
    const double share = split.legs.count() == 1 ? 1.0 : split.worst_leg_share;
    const Amps each(std::max(power.count(), 0.0) * share / split.leg_to_neutral.count());
    LegAmps amps{};
    for (const Leg leg : kLegs) {
        if (split.legs.has(leg)) amps[static_cast<std::size_t>(leg)] = each;
    }
    return amps;
}

LegAmps mean_amps(const HistoryRow& row, Legs told, const LegSplit& split) {
    if (told == Legs{}) return leg_amps(positive_mean(total(row), row.when), split);
    assert(split.legs.within(told));
    LegAmps amps{};
    for (const Leg leg : kLegs) {
        const auto place = static_cast<std::size_t>(leg);
        if (!split.legs.has(leg)) continue;
        amps[place] = Amps(positive_mean(row.energy[place], row.when).count() / split.leg_to_neutral.count());
    }
    return amps;
}

}  // namespace lullwatt::site
