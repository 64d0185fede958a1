// What stands in a ledger, read beside its writer: only what is committed, and never in its way.
//
// Not safe to use from several threads at once; open one each. Functions give faults where the file is
// damaged.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "io/ledger/chain.hpp"
#include "io/ledger/database.hpp"

namespace lullwatt::io::ledger {

struct StoredTransaction {
    Id id = 0;
    std::string point;
    std::string car;
    std::string token;
    Stamp begin;
    std::optional<Stamp> end;                        // none: still plugged in, or nobody said so
    std::string reason;                              // of the stop
    std::vector<account::RegisterReading> readings;  // ascending; corrected ones as corrected, samples too
};

// As it stands after corrections. Its number is its transaction's.
struct StoredSession {
    SessionRow row;
    Id id = 0;
    std::string point;
    std::string car;
    bool clock_proven = true;  // at its begin and end
};

struct StoredEvent {
    Id id = 0;
    Event event;
};

class Reader {
  public:
    // Faults: not there, no ledger, a newer schema, no right to read it.
    [[nodiscard]] static Read<Reader> open(const std::filesystem::path& file, const std::string& vfs = {});

    // Sessions with some of their time within `when`, ascending by their begin.
    [[nodiscard]] Read<std::vector<StoredSession>> sessions(Interval when);
    [[nodiscard]] Read<std::optional<StoredSession>> session_of(Id transaction);
    [[nodiscard]] Read<std::optional<StoredTransaction>> transaction(Id id);
    // Without a session yet: to be settled, or still plugged in.
    [[nodiscard]] Read<std::vector<StoredTransaction>> unsettled();
    [[nodiscard]] Read<std::vector<StoredEvent>> events(Interval when);
    struct Count {
        std::int64_t ever = 0;
        std::int64_t since = 0;
    };
    // How many of a kind a source has, and of these at or after `since`.
    [[nodiscard]] Read<Count> count_events(const std::string& source, const std::string& kind, Instant since);
    [[nodiscard]] Read<std::vector<Minute>> minutes(const std::string& node, Interval when);
    // The newest reading of a point's register that money rests on.
    [[nodiscard]] Read<std::optional<WattHours>> last_register(const std::string& point);
    // A clock that says less than this is wrong (design §4). None: an empty ledger.
    [[nodiscard]] Read<std::optional<Instant>> last_instant();
    [[nodiscard]] Read<Head> head();
    // `kept`: a head that a report printed.
    [[nodiscard]] Read<Verified> verify(const std::optional<Head>& kept = {});

  private:
    Reader(Connection connection, std::filesystem::path file);
    template <class Act>
    auto guarded(Act act) -> Read<decltype(act())>;
    StoredTransaction transaction_at(Id id);
    StoredSession session_at(Id id);

    Connection connection_;
    std::filesystem::path file_;
};

}  // namespace lullwatt::io::ledger
