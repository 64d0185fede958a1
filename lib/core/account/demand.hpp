// The demand a bill charges for: which intervals count, and how high they were.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <vector>

#include "core/account/bill.hpp"

namespace lullwatt::account {

// Mean power of one demand interval, as it counts.
struct IntervalDemand {
    Interval when;
    CivilDate day;
    Milliwatts power;
};

// All intervals of the series that lie in `days`, in hours that count and are covered to the last second. A
// reading longer than the interval stands for its own mean.
[[nodiscard]] std::vector<IntervalDemand> demand_intervals(const tariff::Tariff& tariff, const Zone& clock,
                                                           const tariff::DemandCharge& charge, DateSpan days,
                                                           const EnergySeries& series);

// What is measured, and the intervals it comes from.
struct MeasuredDemand {
    Milliwatts power;
    std::vector<IntervalDemand> of;  // the least of their days first
};
[[nodiscard]] MeasuredDemand measured_demand(const tariff::DemandCharge& charge,
                                             const std::vector<IntervalDemand>& intervals);

// What is billed: after the bills before, the ratchet, the rounding and the least.
[[nodiscard]] Milliwatts billed_demand(const tariff::DemandCharge& charge, Milliwatts measured,
                                       const Carried& before);

}  // namespace lullwatt::account
