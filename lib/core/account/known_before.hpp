// What a bill rests on besides its own days: charges that count earlier bills, and prices nobody has
// announced.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "core/account/bill.hpp"

namespace lullwatt::account {

// Whether a charge counts the use of a year or season, the peaks of earlier bills, or what they banked.
[[nodiscard]] bool counts_earlier_bills(const tariff::Tariff& tariff);

// Names of such charges ("energy bank" for what has no name) whose earlier bills are not all among `priced`
// when `priced[shown]` begins: they count as if there had been nothing.
// REQUIRES: shown < priced.size(); `priced` ascends.
[[nodiscard]] std::vector<std::string> unknown_before(const tariff::Tariff& tariff,
                                                      const std::vector<DateSpan>& priced, std::size_t shown);

// Energy taken in a bill's days at prices, or on classes of day, that nobody has announced. A reading is
// spread evenly over its time.
[[nodiscard]] MilliwattHours assumed_energy(const tariff::Tariff& tariff, const Zone& clock, DateSpan days,
                                            const Metered& usage);

}  // namespace lullwatt::account
