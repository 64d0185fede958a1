// What a charge for power makes of powers.
//
// Pure functions; call from any thread.
#pragma once

#include <vector>

#include "core/plan/peak.hpp"
#include "core/tariff/charges.hpp"

namespace lullwatt::io {

// Whether more power never costs less, as planning under caps takes for granted.
[[nodiscard]] bool never_falls(const tariff::DemandCharge& charge);

// The highest power that intervals count without the car.
[[nodiscard]] Milliwatts highest_house(const std::vector<plan::CountedInterval>& intervals);

}  // namespace lullwatt::io
