// A finished session in one line, as the log and the command line say it.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "core/time/zone.hpp"
#include "io/ledger/reader.hpp"

namespace lullwatt::io {

// "register by transaction".
[[nodiscard]] std::string evidence_text(account::Evidence evidence);

// "Session 12: left point, Heron, 2026-10-20 18:02 to 2026-10-21 07:10, 18.6 kWh (night 18.6), 2.09 CAD; at
// once 4.32, plain timer 2.09; register by transaction." Names from outside are made printable.
[[nodiscard]] std::string session_line(const ledger::StoredSession& session, const Zone& zone);

// Less uncertain energy than this is not worth a word (ours: about a cent).
inline constexpr WattHours kWorthAWord{50};

// What a person should know of how the energy was counted, a clause each; empty where all is plain.
[[nodiscard]] std::vector<std::string> session_doubts(const ledger::StoredSession& session);

}  // namespace lullwatt::io
