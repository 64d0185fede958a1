#include "io/ledger/chain.hpp"

#include <algorithm>
#include <charconv>

#include <SQLiteCpp/Column.h>
#include <SQLiteCpp/Statement.h>
#include <fmt/format.h>
#include <openssl/evp.h>

namespace lullwatt::io::ledger {
namespace {

// Columns by name, so that a later schema may add others.
constexpr const char* select_of(Chained kind) {
    switch (kind) {
        case Chained::events:
            return "SELECT id, at, proven, source, kind, text, corrects FROM events WHERE id = ?";
        case Chained::transactions:
            return "SELECT t.id, n.name, car, token, at, proven, value FROM transactions t JOIN names n ON "
                   "n.id = "
                   "t.point WHERE t.id = ?";
        case Chained::stops:
            return "SELECT id, at, proven, value, reason FROM stops WHERE id = ?";
        case Chained::readings:
            return "SELECT r.id, n.name, transaction_id, at, proven, mark, value, corrects FROM readings r "
                   "JOIN "
                   "names n ON n.id = r.point WHERE r.id = ?";
        case Chained::sessions:
            return "SELECT id, transaction_id, at, until, evidence, energy, uncertain, uncounted, resets, "
                   "rollovers, breaks, dropped, at_once, plain_timer, currency, digits, zone_data, readings, "
                   "corrects FROM sessions WHERE id = ?";
    }
    return "";
}
constexpr const char* kCosts =
    "SELECT part, at, until, energy, uncertain, price, rate, marginal, assumed FROM costs WHERE session_id = "
    "? "
    "ORDER BY part";
constexpr std::array kAll = {Chained::events, Chained::transactions, Chained::stops, Chained::readings,
                             Chained::sessions};
constexpr std::array kTables = {"events", "transactions", "stops", "readings", "sessions"};

void add_column(std::string& bytes, const SQLite::Column& column) {
    if (column.isNull()) {
        bytes += "n;";
    } else if (column.isInteger()) {
        bytes += fmt::format("i{};", column.getInt64());
    } else {
        const std::string text(static_cast<const char*>(column.getBlob()),
                               static_cast<std::size_t>(column.getBytes()));
        bytes += fmt::format("{}{}:{};", column.isBlob() ? 'b' : 't', text.size(), text);
    }
}

bool add_row(std::string& bytes, SQLite::Statement& statement) {
    if (!statement.executeStep()) return false;
    for (int column = 0; column < statement.getColumnCount(); ++column)
        add_column(bytes, statement.getColumn(column));
    bytes += '|';
    return true;
}

Digest digest_of(const SQLite::Column& column) {
    Digest digest{};
    if (column.getBytes() == static_cast<int>(digest.size()))
        std::copy_n(static_cast<const std::uint8_t*>(column.getBlob()), digest.size(), digest.begin());
    return digest;
}

Digest link_of(const Digest& before, const std::string& row) {
    return sha256(std::string(before.begin(), before.end()) + row);
}

std::string first_wrong(Connection& connection, const std::optional<Head>& kept, Head& head) {
    auto& links = connection.prepared("SELECT seq, kind, row, link FROM chain ORDER BY seq");
    std::array<std::int64_t, kAll.size()> rows{};
    bool met = !kept || kept->links == 0;
    while (links.executeStep()) {
        const std::int64_t seq = links.getColumn(0).getInt64();
        const int kind = links.getColumn(1).getInt();
        const Id row = links.getColumn(2).getInt64();
        if (seq != head.links + 1) return fmt::format("link {} is missing", head.links + 1);
        if (kind < 1 || kind > static_cast<int>(kAll.size()))
            return fmt::format("link {} is of no table that is chained", seq);
        const auto table = static_cast<std::size_t>(kind - 1);
        const std::string bytes = bytes_of(connection, kAll[table], row);
        if (bytes.empty()) return fmt::format("row {} of {} is gone (link {})", row, kTables[table], seq);
        const Digest link = link_of(head.link, bytes);
        if (link != digest_of(links.getColumn(3)))
            return fmt::format("row {} of {} is not what was written (link {})", row, kTables[table], seq);
        head = {seq, link};
        ++rows[table];
        if (kept && kept->links == seq) {
            if (kept->link != link) return fmt::format("link {} is not the one kept", seq);
            met = true;
        }
    }
    if (!met) return fmt::format("the chain has {} links, the head kept has {}", head.links, kept->links);
    for (std::size_t table = 0; table < kAll.size(); ++table) {
        SQLite::Statement count(connection.database(),
                                fmt::format("SELECT count(*) FROM {}", kTables[table]));
        count.executeStep();
        if (count.getColumn(0).getInt64() != rows[table])
            return fmt::format("{} has {} rows and {} links", kTables[table], count.getColumn(0).getInt64(),
                               rows[table]);
    }
    return {};
}

}  // namespace

Digest sha256(std::string_view bytes) {
    Digest digest{};
    unsigned size = 0;
    EVP_Digest(bytes.data(), bytes.size(), digest.data(), &size, EVP_sha256(), nullptr);
    return digest;
}

std::string hex(const Digest& digest) {
    std::string text;
    for (const std::uint8_t byte : digest) text += fmt::format("{:02x}", byte);
    return text;
}

std::string text(const Head& head) { return fmt::format("{}:{}", head.links, hex(head.link)); }

std::optional<Head> parse_head(std::string_view text) {
    Head head;
    const std::size_t colon = text.find(':');
    if (colon == std::string_view::npos || text.size() - colon - 1 != 2 * head.link.size())
        return std::nullopt;
    const auto number = [](std::string_view digits, auto& into, int base) {
        const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), into, base);
        return error == std::errc{} && end == digits.data() + digits.size();
    };
    if (!number(text.substr(0, colon), head.links, 10) || head.links < 0) return std::nullopt;
    for (std::size_t i = 0; i < head.link.size(); ++i) {
        if (!number(text.substr(colon + 1 + 2 * i, 2), head.link[i], 16)) return std::nullopt;
    }
    return head;
}

Head read_head(Connection& connection) {
    auto& last = connection.prepared("SELECT seq, link FROM chain ORDER BY seq DESC LIMIT 1");
    if (!last.executeStep()) return {};
    const Head head{last.getColumn(0).getInt64(), digest_of(last.getColumn(1))};
    last.reset();
    return head;
}

std::string bytes_of(Connection& connection, Chained kind, Id row) {
    std::string bytes = fmt::format("{}|", kTables[static_cast<std::size_t>(kind) - 1]);
    auto& select = connection.prepared(select_of(kind));
    select.bind(1, row);
    if (!add_row(bytes, select)) return {};
    select.reset();
    if (kind != Chained::sessions) return bytes;
    auto& costs = connection.prepared(kCosts);
    costs.bind(1, row);
    while (add_row(bytes, costs)) {
    }
    return bytes;
}

Head add_link(Connection& connection, const Head& head, Chained kind, Id row) {
    const Head next{head.links + 1, link_of(head.link, bytes_of(connection, kind, row))};
    auto& insert = connection.prepared("INSERT INTO chain(seq, kind, row, link) VALUES(?, ?, ?, ?)");
    insert.bind(1, next.links);
    insert.bind(2, static_cast<int>(kind));
    insert.bind(3, row);
    insert.bind(4, next.link.data(), static_cast<int>(next.link.size()));
    insert.exec();
    insert.reset();
    return next;
}

Verified verify_chain(Connection& connection, const std::optional<Head>& kept) {
    Verified verified;
    verified.what = first_wrong(connection, kept, verified.head);
    return verified;
}

}  // namespace lullwatt::io::ledger
