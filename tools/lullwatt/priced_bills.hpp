// The bills asked for, after those that went before them: peaks, a year's use and banked energy or money come
// from there.
//
// Pure functions; call from any thread.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "core/account/bill.hpp"

namespace lullwatt::tools {

struct PricedBills {
    std::vector<account::Bill> bills;  // one for each span asked for
    std::string note;  // what starts at nothing, since earlier bills are unknown; empty: nothing that counts
};

// Earlier bills follow `dates`, or the first asked bill's own day where that begins otherwise, as far back as
// readings and prices reach. REQUIRES: spans not empty, ascending; `clock` knows them and the readings.
[[nodiscard]] std::variant<PricedBills, account::Refusal> priced_bills(
    const tariff::Tariff& tariff, const Zone& clock, const tariff::BillDates& dates,
    const std::vector<account::DateSpan>& spans, const std::variant<account::Metered, account::Typed>& usage,
    const account::Terms& terms);

}  // namespace lullwatt::tools
