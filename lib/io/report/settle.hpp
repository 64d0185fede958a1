// From a finished transaction to its session: what its registers counted, under the tariff in force.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include "io/household/household.hpp"
#include "io/ledger/reader.hpp"

namespace lullwatt::io {

// Where no stop was ever told it ends with its last reading. Faults: the site has no such
// point; its tariff has no price for some of the time.
[[nodiscard]] Read<ledger::SessionRow> settle_session(const Household& household,
                                                      const ledger::StoredTransaction& transaction);

}  // namespace lullwatt::io
