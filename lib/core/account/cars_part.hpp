// The cars' part of a bill: what it would be less without any car, shared out among charging sessions.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <variant>
#include <vector>

#include "core/account/bill.hpp"

namespace lullwatt::account {

struct CarsPart {
    Money whole;                  // bill with the cars less bill without; may be negative
    std::vector<Money> sessions;  // beside the sessions; they sum to the whole
    MilliwattHours missing;       // of the sessions, beyond what the meter counted meanwhile
};

// `usage` holds the cars' energy too. A session takes of energy lines by its own intervals, of blocks by its
// kilowatt-hours in the bill, of demand by its kilowatt-hours in the intervals that were billed, of
// percentages and the rest by what it took of those (design §8); largest remainders make up the last 1e-6.
// The order of sessions does not matter. Errors and REQUIRES as account::bill.
[[nodiscard]] std::variant<CarsPart, Refusal> cars_part(const tariff::Tariff& tariff, const Zone& clock,
                                                        DateSpan days, const Metered& usage,
                                                        const std::vector<EnergySeries>& sessions,
                                                        const Terms& terms, const Carried& before);

// What the meter would have counted without the sessions; `missing` gets what it did not count of them.
[[nodiscard]] Metered without(const Metered& usage, const std::vector<EnergySeries>& sessions,
                              MilliwattHours& missing);

}  // namespace lullwatt::account
