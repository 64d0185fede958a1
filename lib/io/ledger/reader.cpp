#include "io/ledger/reader.hpp"

#include <algorithm>

#include <SQLiteCpp/Column.h>
#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Exception.h>
#include <SQLiteCpp/Statement.h>
#include <fmt/format.h>

namespace lullwatt::io::ledger {
namespace {

Instant instant(const SQLite::Column& column) { return Instant{Seconds{column.getInt64()}}; }

template <class Value>
Value whole(const SQLite::Column& column) {
    return Value(column.getInt64());
}

template <class Value>
std::optional<Value> maybe(const SQLite::Column& column) {
    return column.isNull() ? std::nullopt : std::optional(Value(column.getInt64()));
}

template <class Value>
Spread<Value> spread(const SQLite::Statement& row, int column) {
    const auto value = [&](int place) {
        return Value(static_cast<double>(row.getColumn(place).getInt64()) / 1000);
    };
    return {value(column), value(column + 1), value(column + 2)};
}

// Of rows that others correct, the corrections stand.
constexpr const char* kSessionIds =
    "SELECT id FROM sessions s WHERE at < ? AND until > ? AND NOT EXISTS (SELECT 1 FROM sessions WHERE "
    "corrects = "
    "s.id) ORDER BY at, id";

}  // namespace

Reader::Reader(Connection connection, std::filesystem::path file)
    : connection_(std::move(connection)), file_(std::move(file)) {}

Read<Reader> Reader::open(const std::filesystem::path& file, const std::string& vfs) {
    auto connection = Connection::open(file, Access::read, vfs);
    if (!connection.ok()) return connection.faults();
    return Reader(std::move(connection).value(), file);
}

// One look at the file: all of an answer is of the same commit.
template <class Act>
auto Reader::guarded(Act act) -> Read<decltype(act())> {
    try {
        connection_.database().exec("BEGIN");
        auto answer = act();
        connection_.database().exec("COMMIT");
        return answer;
    } catch (const SQLite::Exception& exception) {
        static_cast<void>(connection_.database().tryExec("ROLLBACK"));
        return Faults{{file_.string(), 0, 0, "", fmt::format("cannot be read: {}", exception.what()), "",
                       "a ledger without damage", "restore it from a backup"}};
    }
}

StoredSession Reader::session_at(Id id) {
    StoredSession stored{.id = id};
    auto& row = connection_.prepared(
        "SELECT s.transaction_id, s.at, s.until, evidence, energy, uncertain, uncounted, resets, rollovers, "
        "breaks, "
        "dropped, at_once, plain_timer, currency, digits, zone_data, corrects, n.name, t.car, t.proven AND "
        "ifnull(e.proven, 1) FROM sessions s JOIN transactions t ON t.id = s.transaction_id JOIN names n ON "
        "n.id = "
        "t.point LEFT JOIN stops e ON e.id = t.id WHERE s.id = ?");
    row.bind(1, id);
    row.executeStep();
    account::Session& session = stored.row.session;
    stored.row.transaction = row.getColumn(0).getInt64();
    session.plugged_in = {instant(row.getColumn(1)), instant(row.getColumn(2))};
    session.evidence = static_cast<account::Evidence>(std::clamp(row.getColumn(3).getInt(), 0, 4));
    session.energy = whole<WattHours>(row.getColumn(4));
    session.uncertain = whole<WattHours>(row.getColumn(5));
    session.uncounted = whole<WattHours>(row.getColumn(6));
    session.resets = row.getColumn(7).getInt();
    session.rollovers = row.getColumn(8).getInt();
    session.breaks = row.getColumn(9).getInt();
    session.dropped = row.getColumn(10).getInt();
    session.at_once = maybe<Money>(row.getColumn(11));
    session.plain_timer = maybe<Money>(row.getColumn(12));
    stored.row.currency = row.getColumn(13).getString();
    stored.row.currency_digits = std::clamp(row.getColumn(14).getInt(), 0, 6);
    stored.row.zone_data = row.getColumn(15).getString();
    stored.row.corrects = maybe<Id>(row.getColumn(16));
    stored.point = row.getColumn(17).getString();
    stored.car = row.getColumn(18).getString();
    stored.clock_proven = row.getColumn(19).getInt() != 0;
    row.reset();
    auto& cost = connection_.prepared(
        "SELECT at, until, energy, uncertain, price, rate, marginal, assumed FROM costs WHERE session_id = ? "
        "ORDER "
        "BY part");
    cost.bind(1, id);
    while (cost.executeStep()) {
        session.parts.push_back({{instant(cost.getColumn(0)), instant(cost.getColumn(1))},
                                 whole<WattHours>(cost.getColumn(2)),
                                 whole<WattHours>(cost.getColumn(3)),
                                 cost.getColumn(4).getString(),
                                 whole<Rate>(cost.getColumn(5)),
                                 whole<Rate>(cost.getColumn(6)),
                                 cost.getColumn(7).getInt() != 0});
    }
    return stored;
}

StoredTransaction Reader::transaction_at(Id id) {
    StoredTransaction stored{.id = id};
    auto& row = connection_.prepared(
        "SELECT n.name, t.car, t.token, t.at, t.proven, e.at, e.proven, e.reason FROM transactions t JOIN "
        "names n ON "
        "n.id = t.point LEFT JOIN stops e ON e.id = t.id WHERE t.id = ?");
    row.bind(1, id);
    row.executeStep();
    stored.point = row.getColumn(0).getString();
    stored.car = row.getColumn(1).getString();
    stored.token = row.getColumn(2).getString();
    stored.begin = {instant(row.getColumn(3)), row.getColumn(4).getInt() != 0};
    if (!row.getColumn(5).isNull())
        stored.end = Stamp{instant(row.getColumn(5)), row.getColumn(6).getInt() != 0};
    stored.reason = row.getColumn(7).getString();
    row.reset();
    // The passing registers of the point are the transaction's from its begin to its end, or until the next.
    auto& reading = connection_.prepared(
        "SELECT at, value FROM readings r WHERE transaction_id = ?1 AND NOT EXISTS (SELECT 1 FROM readings "
        "WHERE "
        "corrects = r.id) UNION SELECT s.at, s.value / 1000 FROM transactions t LEFT JOIN stops e ON e.id = "
        "t.id "
        "JOIN samples s ON s.at >= t.at AND s.point = t.point AND s.quantity = 3 WHERE t.id = ?1 AND s.at <= "
        "ifnull(e.at, ifnull((SELECT min(at) - 1 FROM transactions WHERE point = t.point AND at > t.at), "
        "s.at)) "
        "ORDER BY 1, 2");
    reading.bind(1, id);
    while (reading.executeStep())
        stored.readings.push_back({instant(reading.getColumn(0)), whole<WattHours>(reading.getColumn(1))});
    return stored;
}

Read<std::vector<StoredSession>> Reader::sessions(Interval when) {
    return guarded([&] {
        std::vector<Id> ids;
        auto& row = connection_.prepared(kSessionIds);
        row.bind(1, seconds(when.end));
        row.bind(2, seconds(when.begin));
        while (row.executeStep()) ids.push_back(row.getColumn(0).getInt64());
        std::vector<StoredSession> sessions;
        for (const Id id : ids) sessions.push_back(session_at(id));
        return sessions;
    });
}

Read<std::optional<StoredSession>> Reader::session_of(Id transaction) {
    return guarded([&] {
        auto& row =
            connection_.prepared("SELECT id FROM sessions WHERE transaction_id = ? ORDER BY id DESC LIMIT 1");
        row.bind(1, transaction);
        std::optional<StoredSession> session;
        if (!row.executeStep()) return session;
        const Id id = row.getColumn(0).getInt64();
        row.reset();
        session = session_at(id);
        return session;
    });
}

Read<std::optional<StoredTransaction>> Reader::transaction(Id id) {
    return guarded([&] {
        auto& row = connection_.prepared("SELECT id FROM transactions WHERE id = ?");
        row.bind(1, id);
        const bool known = row.executeStep();
        row.reset();
        return known ? std::optional(transaction_at(id)) : std::nullopt;
    });
}

Read<std::vector<StoredTransaction>> Reader::unsettled() {
    return guarded([&] {
        std::vector<Id> ids;
        auto& row = connection_.prepared(
            "SELECT id FROM transactions t WHERE NOT EXISTS (SELECT 1 FROM sessions WHERE transaction_id = "
            "t.id AND corrects IS NULL) ORDER BY at, id");
        while (row.executeStep()) ids.push_back(row.getColumn(0).getInt64());
        std::vector<StoredTransaction> transactions;
        for (const Id id : ids) transactions.push_back(transaction_at(id));
        return transactions;
    });
}

Read<std::vector<StoredEvent>> Reader::events(Interval when) {
    return guarded([&] {
        std::vector<StoredEvent> events;
        auto& row = connection_.prepared(
            "SELECT id, at, proven, source, kind, text, corrects FROM events e WHERE at >= ? AND at < ? AND "
            "NOT "
            "EXISTS (SELECT 1 FROM events WHERE corrects = e.id) ORDER BY at, id");
        row.bind(1, seconds(when.begin));
        row.bind(2, seconds(when.end));
        while (row.executeStep()) {
            events.push_back({row.getColumn(0).getInt64(),
                              {{instant(row.getColumn(1)), row.getColumn(2).getInt() != 0},
                               row.getColumn(3).getString(),
                               row.getColumn(4).getString(),
                               row.getColumn(5).getString(),
                               maybe<Id>(row.getColumn(6))}});
        }
        return events;
    });
}

Read<Reader::Count> Reader::count_events(const std::string& source, const std::string& kind, Instant since) {
    return guarded([&] {
        auto& row = connection_.prepared(
            "SELECT count(*), count(CASE WHEN at >= ? THEN 1 END) FROM events WHERE source = ? AND kind = ?");
        row.bind(1, seconds(since));
        row.bind(2, source);
        row.bind(3, kind);
        row.executeStep();
        const Count count{row.getColumn(0).getInt64(), row.getColumn(1).getInt64()};
        row.reset();
        return count;
    });
}

Read<std::vector<Minute>> Reader::minutes(const std::string& node, Interval when) {
    return guarded([&] {
        std::vector<Minute> minutes;
        auto& row = connection_.prepared(
            "SELECT at, leg, quantity, mean, most, least FROM minutes WHERE at >= ? AND at < ? AND node = "
            "(SELECT id "
            "FROM names WHERE name = ?) ORDER BY at, leg, quantity");
        row.bind(1, seconds(when.begin));
        row.bind(2, seconds(when.end));
        row.bind(3, node);
        while (row.executeStep()) {
            Minute minute{node, static_cast<site::Leg>(std::clamp(row.getColumn(1).getInt(), 1, 3) - 1),
                          instant(row.getColumn(0)), spread<Amps>(row, 3)};
            if (row.getColumn(2).getInt() == 1) minute.load = spread<Watts>(row, 3);
            minutes.push_back(std::move(minute));
        }
        return minutes;
    });
}

Read<std::optional<WattHours>> Reader::last_register(const std::string& point) {
    return guarded([&]() -> std::optional<WattHours> {
        auto& row = connection_.prepared(
            "SELECT value FROM readings r WHERE point = (SELECT id FROM names WHERE name = ?) AND NOT EXISTS "
            "(SELECT 1 FROM readings WHERE corrects = r.id) ORDER BY at DESC, id DESC LIMIT 1");
        row.bind(1, point);
        return row.executeStep() ? std::optional(whole<WattHours>(row.getColumn(0))) : std::nullopt;
    });
}

Read<std::optional<Instant>> Reader::last_instant() {
    return guarded([&] {
        // Of rows whose clock was proven: one that was not proves nothing. The newest thousand will do: ten
        // years of them are read at each start.
        auto& row = connection_.prepared(
            "SELECT max(at) FROM ("
            "SELECT max(at) AS at FROM (SELECT at, proven FROM events ORDER BY id DESC LIMIT 1000) WHERE "
            "proven "
            "UNION ALL "
            "SELECT max(at) FROM (SELECT at, proven FROM readings ORDER BY id DESC LIMIT 1000) WHERE proven "
            "UNION ALL SELECT max(at) FROM minutes)");
        row.executeStep();
        const auto last = row.getColumn(0).isNull() ? std::nullopt : std::optional(instant(row.getColumn(0)));
        row.reset();
        return last;
    });
}

Read<Head> Reader::head() {
    return guarded([&] { return read_head(connection_); });
}

Read<Verified> Reader::verify(const std::optional<Head>& kept) {
    return guarded([&] { return verify_chain(connection_, kept); });
}

}  // namespace lullwatt::io::ledger
