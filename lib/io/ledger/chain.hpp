// The chain over a ledger's rows: each link is the SHA-256 of the one before and of a row.
//
// It shows that a row was altered only against a head kept elsewhere: who can write the file can make the
// chain anew. Functions over one connection; not safe to use from several threads at once.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "io/ledger/database.hpp"

namespace lullwatt::io::ledger {

using Digest = std::array<std::uint8_t, 32>;

[[nodiscard]] Digest sha256(std::string_view bytes);
[[nodiscard]] std::string hex(const Digest& digest);

// The tables that are chained. The numbers stand in files: never change one.
enum class Chained : std::uint8_t { events = 1, transactions = 2, stops = 3, readings = 4, sessions = 5 };

// How many links there are, and the last one: 0 and zeros in a new ledger.
struct Head {
    std::int64_t links = 0;
    Digest link{};
    friend bool operator==(const Head&, const Head&) = default;
};
// "1042:9f86…": as reports print it.
[[nodiscard]] std::string text(const Head& head);
[[nodiscard]] std::optional<Head> parse_head(std::string_view text);

[[nodiscard]] Head read_head(Connection& connection);

// A row as its link covers it: its columns, each with its type and length; of a session its cost parts too.
// Empty where there is no such row.
[[nodiscard]] std::string bytes_of(Connection& connection, Chained kind, Id row);

// Adds the link of a row that was just written, and returns the new head.
[[nodiscard]] Head add_link(Connection& connection, const Head& head, Chained kind, Id row);

// Every row against its link, and every link against the one before. `what` is empty where all agree.
struct Verified {
    Head head;
    std::string what;
};
[[nodiscard]] Verified verify_chain(Connection& connection, const std::optional<Head>& kept);

}  // namespace lullwatt::io::ledger
