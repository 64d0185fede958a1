// What `sessions` and `report` answer out of a ledger, for the command line and the daemon alike.
//
// One thread per reader.
#pragma once

#include <optional>
#include <string>

#include "io/household/household.hpp"
#include "io/ledger/reader.hpp"
#include "tools/lullwatt/answer.hpp"

namespace lullwatt::tools {

struct AskedOfLedger {
    std::string month;                   // YYYY-MM, as typed; empty: the last 31 days, or this month
    std::optional<std::int64_t> number;  // of one session
    bool csv = false;                    // Answer::text is a table of comma-separated values
};

[[nodiscard]] io::Read<Answer> sessions_answer(io::ledger::Reader& reader, const io::Household& household,
                                               const AskedOfLedger& asked, Instant now);
[[nodiscard]] io::Read<Answer> report_answer(io::ledger::Reader& reader, const io::Household& household,
                                             const AskedOfLedger& asked, Instant now);

}  // namespace lullwatt::tools
