#include "core/plan/peak.hpp"

#include <algorithm>

namespace lullwatt::plan {
namespace {

// A third of a milliwatt-hour in an interval of one second is this many milliwatts.
constexpr Wide kPerThird = 1200;

}  // namespace

Wide PeakCharge::added_thirds(Milliwatts peak) const {
    if (peak <= free) return 0;
    return (cost(peak) - cost(free)).atto() * 3;
}

Wide room_thirds(const CountedInterval& interval, Milliwatts cap) {
    const Wide power = static_cast<Wide>(cap.count()) * kAllCounts -
                       static_cast<Wide>(interval.house.count()) * interval.share;
    return power <= 0 ? 0 : power * interval.length.count() / (kPerThird * interval.share);
}

Milliwatts reached(const PeakCharge& charge, const Problem& problem, const std::vector<WholeAmps>& drawn) {
    Wide peak = charge.free.count();
    for (const CountedInterval& interval : charge.intervals) {
        Wide car = 0;
        for (std::size_t t = interval.first; t < interval.last; ++t)
            car += Wide{drawn[t].count()} * minutes(problem.slots[t]) * thirds_per_ampere_minute(problem);
        if (car == 0) continue;
        const Wide length = interval.length.count();
        const Wide counted =
            (static_cast<Wide>(interval.house.count()) * length + car * kPerThird) * interval.share;
        peak = std::max(peak, -floor_quotient(-counted, length * kAllCounts));
    }
    return Milliwatts(static_cast<std::int64_t>(peak));
}

PeakCharge from_slot(PeakCharge charge, std::size_t slot) {
    std::erase_if(charge.intervals, [&](const CountedInterval& interval) { return interval.last <= slot; });
    for (CountedInterval& interval : charge.intervals) {
        interval.first = std::max(interval.first, slot) - slot;
        interval.last -= slot;
    }
    return charge;
}

}  // namespace lullwatt::plan
