// How many months or days of an amount one bill takes.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstdint>

#include "core/account/bill.hpp"

namespace lullwatt::account {

// An exact multiple. REQUIRES: d > 0.
struct Multiple {
    std::int64_t n = 1;
    std::int64_t d = 1;
};

// `active` of the bill's days, for an amount or limit that is per bill, month, day or year. `months`: what
// the contract says one bill stands for.
[[nodiscard]] Multiple multiple_of(const tariff::Proration& proration, tariff::Per per, DateSpan bill,
                                   int active, int months);

[[nodiscard]] MilliwattHours times(MilliwattHours energy, Multiple multiple);

}  // namespace lullwatt::account
