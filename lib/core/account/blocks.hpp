// Energy held against the steps of a block charge.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "core/account/proration.hpp"

namespace lullwatt::account {

[[nodiscard]] MilliwattHours rounded_energy(MilliwattHours energy, MilliwattHours step);

// Where each step but the last ends, for this bill.
using Limits = std::vector<MilliwattHours>;
[[nodiscard]] Limits limits_of(const tariff::BlockCharge& block, Multiple multiple);

// Energy used after `before`, by step; one more than there are limits. Below nothing is the first step's too,
// and what is given back takes off the steps it had filled.
[[nodiscard]] std::vector<MilliwattHours> by_step(const Limits& limits, MilliwattHours before,
                                                  MilliwattHours energy);

// "first 250 kWh", "above 250 kWh to 700 kWh", "above 700 kWh"; empty where there is one step.
[[nodiscard]] std::string step_text(const Limits& limits, std::size_t step);

// Days cut where a block that adds up over a year or season begins to count anew. One span for other blocks.
[[nodiscard]] std::vector<DateSpan> counts_of(const tariff::Tariff& tariff, const tariff::BlockCharge& block,
                                              DateSpan days);

// The first day of the year or season that holds a day, from which a block's use adds up.
[[nodiscard]] CivilDate counted_since(const tariff::Tariff& tariff, const tariff::BlockCharge& block,
                                      CivilDate day);

}  // namespace lullwatt::account
