// How many months or days of an amount one bill takes.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstdint>
#include <vector>

#include "core/account/bill.hpp"

namespace lullwatt::account {

// An exact multiple. REQUIRES: d > 0.
struct Multiple {
    std::int64_t n = 1;
    std::int64_t d = 1;
};

// The days of a bill for which an amount or limit holds.
struct Active {
    DateSpan days;
    const std::vector<std::size_t>& seasons;  // empty: all
};

// For an amount or limit that is per bill, month, day or year. `months`: what the contract says one bill
// stands for.
[[nodiscard]] Multiple multiple_of(const tariff::Tariff& tariff, tariff::Per per, DateSpan bill,
                                   const Active& active, int months);

[[nodiscard]] MilliwattHours times(MilliwattHours energy, Multiple multiple);

}  // namespace lullwatt::account
