// What the ledger holds, row by row: what happened, never what was meant.
//
// Values; safe to read from any thread. docs/accounting.md has the tables.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>

#include "core/account/session.hpp"
#include "core/site/site.hpp"

namespace lullwatt::io::ledger {

using Id = std::int64_t;  // of a row in its table; never used again

[[nodiscard]] inline std::int64_t seconds(Instant at) { return at.time_since_epoch().count(); }

// Wall time with whether it could be trusted then (design §4).
struct Stamp {
    Instant at;
    bool proven = true;
    friend bool operator==(const Stamp&, const Stamp&) = default;
};

// A fault, an accepted equipment, an issued report, a change of settings: what a person may ask about later.
struct Event {
    Stamp when;
    std::string source;  // "left point", "ledger"
    std::string kind;    // one word
    std::string text;
    std::optional<Id> corrects = {};
};

// A car was plugged in. The same start said again (equipment that missed our answer) is the same row.
struct TransactionStart {
    Stamp when;
    std::string point;
    std::string car;    // empty where nobody knows
    std::string token;  // what the equipment was shown; may be empty
    WattHours value;    // its register
};

struct TransactionStop {
    Id transaction = 0;
    Stamp when;
    WattHours value;
    std::string reason;
};

enum class Mark : std::uint8_t { begin, end, clock };

// A register's reading that money rests on.
struct Reading {
    std::string point;
    std::optional<Id> transaction = {};
    Stamp when;
    WattHours value;
    Mark mark = Mark::clock;
    std::optional<Id> corrects = {};
};

// What equipment reports all the time; its registers too.
struct Sample {
    std::string point;
    Instant at;
    std::optional<site::Leg> leg = {};  // none: of all
    std::variant<Amps, Watts, Volts, WattHours> value;
};

// One leg of a metered node for a minute, as amperes or as watts.
template <class Value>
struct Spread {
    Value mean;
    Value most;
    Value least;
    friend bool operator==(const Spread&, const Spread&) = default;
};
struct Minute {
    std::string node;
    site::Leg leg = site::Leg::L1;
    Instant begin;
    std::variant<Spread<Amps>, Spread<Watts>> load;
};

// A finished session with its cost parts. The first of a transaction, or a correction of the newest.
struct SessionRow {
    Id transaction = 0;
    account::Session session;
    std::string currency;
    int currency_digits = 2;
    std::string zone_data;  // the version of the zone data its prices went by
    std::optional<Id> corrects = {};
};

using Row = std::variant<Event, TransactionStart, TransactionStop, Reading, Sample, Minute, SessionRow>;

// Committed before it is acknowledged; the others are acknowledged at once and may be lost by a power cut.
[[nodiscard]] constexpr bool is_durable(const Row& row) {
    return !std::holds_alternative<Sample>(row) && !std::holds_alternative<Minute>(row);
}

struct Failure {
    enum class Kind : std::uint8_t {
        refused,  // the row contradicts the ledger; trying again will not help
        full,     // the disk is
        storage,  // anything else below us
    };
    Kind kind = Kind::storage;
    std::string what;
};

}  // namespace lullwatt::io::ledger
