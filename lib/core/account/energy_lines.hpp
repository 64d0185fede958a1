// Lines for energy: by the hour's price, adders, blocks, and what is paid for energy given back.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <vector>

#include "core/account/use.hpp"

namespace lullwatt::account {

// A line before its amount is rounded.
struct ExactLine {
    Line line;
    ExactAmount amount;
};

// `after` gets what blocks and banked energy leave for the next bill; it comes in as the bill before left it.
[[nodiscard]] std::vector<ExactLine> energy_lines(const tariff::Tariff& tariff, DateSpan bill, const Use& use,
                                                  const Terms& terms, Carried& after);

// Energy by window after energy given back was taken off it.
struct NetUse {
    MilliwattHours charged;  // never negative
    MilliwattHours surplus;  // given back beyond what was taken; never negative
};
[[nodiscard]] std::vector<NetUse> net_uses(const tariff::Tariff& tariff, const Use& use, Carried& after);

}  // namespace lullwatt::account
