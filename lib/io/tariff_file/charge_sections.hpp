// Reads what a bill charges besides each hour's price: blocks, demand, fixed amounts, percentages, export.
//
// Pure functions; call from any thread. Each adds faults for what its own keys contradict.
#pragma once

#include <string_view>

#include "core/tariff/tariff.hpp"
#include "io/settings/section.hpp"
#include "io/tariff_file/day_words.hpp"

namespace lullwatt::io {

// What the charges of a revision may refer to.
struct ChargeContext {
    const Section& file;
    const DayWords& words;
    const tariff::Tariff& tariff;  // its seasons and classes are read already
};

// `revision.windows` and its adders are read already: charges may name them.
void read_charges(const Section& section, const ChargeContext& context, tariff::Revision& revision,
                  Faults& faults);

// One demand charge.
[[nodiscard]] tariff::DemandCharge read_demand(const Section& section, const ChargeContext& context,
                                               Faults& faults);

void read_billing_rules(const Section& file, tariff::Tariff& tariff, Faults& faults);

}  // namespace lullwatt::io
