#include "io/ledger/ledger.hpp"

#include <cmath>

#include <SQLiteCpp/Column.h>
#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Exception.h>
#include <SQLiteCpp/Statement.h>
#include <fmt/format.h>

namespace lullwatt::io::ledger {
namespace {

// What a row says does not go with what the ledger holds. Never leaves this file.
struct Refused {
    std::string what;
};

template <class Value>
std::int64_t thousandths(Value value) {
    return std::llround(value.count() * 1000);
}
std::int64_t thousandths(WattHours value) { return value.count() * 1000; }

template <class Value>
void bind_one(SQLite::Statement& statement, int place, const Value& value) {
    statement.bind(place, value);
}
template <class Value>
void bind_one(SQLite::Statement& statement, int place, const std::optional<Value>& value) {
    if (value) statement.bind(place, *value);  // else it stays null
}
template <class... Values>
void bind_all(SQLite::Statement& statement, const Values&... values) {
    int place = 0;
    (bind_one(statement, ++place, values), ...);
}

template <class... Values>
void insert(SQLite::Statement& statement, const Values&... values) {
    bind_all(statement, values...);
    statement.exec();
    statement.reset();
}

// The first column of the first row.
template <class... Values>
std::optional<std::int64_t> found(SQLite::Statement& statement, const Values&... values) {
    bind_all(statement, values...);
    std::optional<std::int64_t> value;
    if (statement.executeStep()) value = statement.getColumn(0).getInt64();
    statement.reset();
    return value;
}

}  // namespace

Ledger::Ledger(Connection connection)
    : connection_(std::move(connection)), head_(read_head(connection_)), committed_(head_) {}

Read<Ledger> Ledger::open(const std::filesystem::path& file, const std::string& vfs) {
    auto connection = Connection::open(file, Access::write, vfs);
    if (!connection.ok()) return connection.faults();
    try {
        return Ledger(std::move(connection).value());
    } catch (const SQLite::Exception& exception) {
        return Faults{{file.string(), 0, 0, "", fmt::format("cannot be read: {}", exception.what()), "",
                       "a ledger without damage", "restore it from a backup"}};
    }
}

std::variant<Appended, Failure> Ledger::append(const Row& row) {
    try {
        if (!open_) connection_.database().exec("BEGIN IMMEDIATE");
        open_ = true;
        return std::visit([this](const auto& each) { return add(each); }, row);
    } catch (const Refused& refused) {
        return Failure{Failure::Kind::refused, refused.what};
    } catch (const SQLite::Exception& exception) {
        roll_back();
        return failure_of(exception);
    }
}

std::optional<Failure> Ledger::commit() {
    if (!open_) return std::nullopt;
    try {
        connection_.database().exec("COMMIT");
        open_ = false;
        committed_ = head_;
        return std::nullopt;
    } catch (const SQLite::Exception& exception) {
        roll_back();
        return failure_of(exception);
    }
}

// A full disk may have rolled back already, which is why a failure here is none.
void Ledger::roll_back() {
    static_cast<void>(connection_.database().tryExec("ROLLBACK"));
    open_ = false;
    head_ = committed_;
    names_.clear();
}

Id Ledger::link(Chained kind) {
    const Id row = connection_.database().getLastInsertRowid();
    head_ = add_link(connection_, head_, kind, row);
    return row;
}

Id Ledger::name(const std::string& text) {
    if (const auto known = names_.find(text); known != names_.end()) return known->second;
    auto id = found(connection_.prepared("SELECT id FROM names WHERE name = ?"), text);
    if (!id) {
        insert(connection_.prepared("INSERT INTO names(name) VALUES(?)"), text);
        id = connection_.database().getLastInsertRowid();
    }
    names_[text] = *id;
    return *id;
}

Appended Ledger::add(const Event& event) {
    if (event.corrects && !found(connection_.prepared("SELECT id FROM events WHERE id = ?"), *event.corrects))
        throw Refused{fmt::format("there is no event {} to correct", *event.corrects)};
    insert(connection_.prepared(
               "INSERT INTO events(at, proven, source, kind, text, corrects) VALUES(?, ?, ?, ?, ?, ?)"),
           seconds(event.when.at), event.when.proven ? 1 : 0, event.source, event.kind, event.text,
           event.corrects);
    return {link(Chained::events)};
}

Appended Ledger::add(const TransactionStart& start) {
    const Id point = name(start.point);
    const auto known =
        found(connection_.prepared(
                  "SELECT id FROM transactions WHERE point = ? AND at = ? AND value = ? AND token = ?"),
              point, seconds(start.when.at), start.value.count(), start.token);
    if (known) return {*known, true};
    insert(connection_.prepared(
               "INSERT INTO transactions(point, car, token, at, proven, value) VALUES(?, ?, ?, ?, ?, ?)"),
           point, start.car, start.token, seconds(start.when.at), start.when.proven ? 1 : 0,
           start.value.count());
    const Id row = link(Chained::transactions);
    add(Reading{start.point, row, start.when, start.value, Mark::begin});
    return {row};
}

Appended Ledger::add(const TransactionStop& stop) {
    auto& begun = connection_.prepared(
        "SELECT n.name FROM transactions t JOIN names n ON n.id = t.point WHERE t.id = ?");
    begun.bind(1, stop.transaction);
    if (!begun.executeStep()) throw Refused{fmt::format("there is no transaction {}", stop.transaction)};
    const std::string point = begun.getColumn(0).getString();
    begun.reset();
    if (found(connection_.prepared("SELECT id FROM stops WHERE id = ?"), stop.transaction))
        return {stop.transaction, true};
    insert(connection_.prepared("INSERT INTO stops(id, at, proven, value, reason) VALUES(?, ?, ?, ?, ?)"),
           stop.transaction, seconds(stop.when.at), stop.when.proven ? 1 : 0, stop.value.count(),
           stop.reason);
    const Id row = link(Chained::stops);
    add(Reading{point, row, stop.when, stop.value, Mark::end});
    return {row};
}

Appended Ledger::add(const Reading& reading) {
    const Id point = name(reading.point);
    if (reading.transaction &&
        !found(connection_.prepared("SELECT id FROM transactions WHERE id = ?"), *reading.transaction))
        throw Refused{fmt::format("there is no transaction {}", *reading.transaction)};
    const std::int64_t at = seconds(reading.when.at);
    const int mark = static_cast<int>(reading.mark);
    if (reading.corrects) {
        if (!found(connection_.prepared("SELECT id FROM readings WHERE id = ?"), *reading.corrects))
            throw Refused{fmt::format("there is no reading {} to correct", *reading.corrects)};
        if (found(connection_.prepared("SELECT id FROM readings WHERE corrects = ?"), *reading.corrects))
            throw Refused{fmt::format("reading {} is corrected already", *reading.corrects)};
    } else if (const auto known = found(
                   connection_.prepared("SELECT id FROM readings WHERE point = ? AND at = ? AND mark = ? AND "
                                        "value = ? AND ifnull(transaction_id, 0) = ? AND corrects IS NULL"),
                   point, at, mark, reading.value.count(), reading.transaction.value_or(0))) {
        return {*known, true};
    }
    insert(
        connection_.prepared("INSERT INTO readings(point, transaction_id, at, proven, mark, value, corrects) "
                             "VALUES(?, ?, ?, ?, ?, ?, ?)"),
        point, reading.transaction, at, reading.when.proven ? 1 : 0, mark, reading.value.count(),
        reading.corrects);
    return {link(Chained::readings)};
}

Appended Ledger::add(const Sample& sample) {
    insert(connection_.prepared(
               "INSERT OR IGNORE INTO samples(at, point, quantity, leg, value) VALUES(?, ?, ?, ?, ?)"),
           seconds(sample.at), name(sample.point), static_cast<int>(sample.value.index()),
           sample.leg ? static_cast<int>(*sample.leg) + 1 : 0,
           std::visit([](auto value) { return thousandths(value); }, sample.value));
    return {0, connection_.database().getChanges() == 0};
}

Appended Ledger::add(const Minute& minute) {
    std::visit(
        [&](const auto& spread) {
            insert(connection_.prepared("INSERT OR IGNORE INTO minutes(at, node, leg, quantity, mean, most, "
                                        "least) VALUES(?, ?, ?, ?, ?, ?, ?)"),
                   seconds(minute.begin), name(minute.node), static_cast<int>(minute.leg) + 1,
                   static_cast<int>(minute.load.index()), thousandths(spread.mean), thousandths(spread.most),
                   thousandths(spread.least));
        },
        minute.load);
    return {0, connection_.database().getChanges() == 0};
}

// All that the session's energy was counted from, so that thinning the samples later loses no proof.
Digest Ledger::readings_digest(Id transaction) {
    auto& raw = connection_.prepared(
        "SELECT at, value * 1000 FROM readings WHERE transaction_id = ?1 UNION ALL "
        "SELECT s.at, s.value FROM transactions t JOIN stops e ON e.id = t.id JOIN samples s ON s.at >= t.at "
        "AND "
        "s.at <= e.at AND s.point = t.point AND s.quantity = 3 WHERE t.id = ?1 ORDER BY 1, 2");
    raw.bind(1, transaction);
    std::string bytes;
    while (raw.executeStep())
        bytes += fmt::format("{} {};", raw.getColumn(0).getInt64(), raw.getColumn(1).getInt64());
    return sha256(bytes);
}

Appended Ledger::add(const SessionRow& row) {
    const account::Session& session = row.session;
    if (!found(connection_.prepared("SELECT id FROM transactions WHERE id = ?"), row.transaction))
        throw Refused{fmt::format("there is no transaction {}", row.transaction)};
    const auto newest = found(
        connection_.prepared("SELECT id FROM sessions WHERE transaction_id = ? ORDER BY id DESC LIMIT 1"),
        row.transaction);
    if (!row.corrects && newest) return {*newest, true};
    if (row.corrects && row.corrects != newest)
        throw Refused{fmt::format("session row {} is not the newest of transaction {}", *row.corrects,
                                  row.transaction)};
    const Digest digest = readings_digest(row.transaction);
    const auto money = [](const std::optional<Money>& amount) {
        return amount ? std::optional(amount->count()) : std::nullopt;
    };
    auto& statement = connection_.prepared(
        "INSERT INTO sessions(transaction_id, at, until, evidence, energy, uncertain, uncounted, resets, "
        "rollovers, breaks, dropped, at_once, plain_timer, currency, digits, zone_data, corrects, readings) "
        "VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    statement.bind(18, digest.data(), static_cast<int>(digest.size()));
    insert(statement, row.transaction, seconds(session.plugged_in.begin), seconds(session.plugged_in.end),
           static_cast<int>(session.evidence), session.energy.count(), session.uncertain.count(),
           session.uncounted.count(), session.resets, session.rollovers, session.breaks, session.dropped,
           money(session.at_once), money(session.plain_timer), row.currency, row.currency_digits,
           row.zone_data, row.corrects);
    const Id id = connection_.database().getLastInsertRowid();
    add_costs(id, session.parts);
    head_ = add_link(connection_, head_, Chained::sessions, id);
    return {id};
}

void Ledger::add_costs(Id session, const std::vector<account::CostPart>& parts) {
    int number = 0;
    for (const account::CostPart& part : parts) {
        insert(connection_.prepared(
                   "INSERT INTO costs(session_id, part, at, until, energy, uncertain, price, rate, "
                   "marginal, assumed) VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"),
               session, ++number, seconds(part.when.begin), seconds(part.when.end), part.energy.count(),
               part.uncertain.count(), part.price, part.rate.count(), part.marginal.count(),
               part.assumed ? 1 : 0);
    }
}

}  // namespace lullwatt::io::ledger
