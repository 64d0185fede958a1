// Nights of an equipment with a register, as rows for a ledger in the order they come; and what must stand in
// the ledger afterwards, whatever broke in between.
#pragma once

#include <cstdint>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "io/ledger/ledger.hpp"
#include "io/ledger/reader.hpp"

namespace lullwatt::tests {

struct Step {
    enum class Kind : std::uint8_t { start, clock, sample, minute, stop, settle, event };
    Kind kind = Kind::event;
    int session = 0;
    Instant at;
    WattHours value;
};
using Script = std::vector<Step>;

[[nodiscard]] bool is_durable(const Step& step);

// Some sessions of one equipment, its register rising by chance; between two of them it may rise as well.
[[nodiscard]] Script charging_script(std::mt19937& chance, int sessions);

// A script on its way into a ledger: which steps were acknowledged, and under which rows.
struct Progress {
    std::map<std::size_t, io::ledger::Id> acknowledged;  // by step; durable ones only
    std::map<int, io::ledger::Id> transactions;          // by session

    void acknowledge(const Script& script, std::size_t step, io::ledger::Id row);
};

// The row of a step; of `settle` one settled from what the reader finds, or none where it finds nothing.
// REQUIRES: the start of its session was acknowledged.
[[nodiscard]] std::optional<io::ledger::Row> row_of(const Script& script, std::size_t step,
                                                    const Progress& progress, io::ledger::Reader* reader);

// What is wrong with a ledger after a failure; empty where every acknowledged row stands once, no row stands
// twice, and the chain holds.
[[nodiscard]] std::string wrong(io::ledger::Reader& reader, const Script& script, const Progress& progress);

// The same at the end of a script; and the sessions, with what went past between them, sum to the register's
// difference.
[[nodiscard]] std::string wrong_at_the_end(io::ledger::Reader& reader, const Script& script,
                                           const Progress& progress);

}  // namespace lullwatt::tests
