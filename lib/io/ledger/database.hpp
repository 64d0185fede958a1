// One connection to a ledger's file: its schema, and its errors as values.
//
// Not safe to use from several threads at once. Throws SQLite::Exception inside io/ledger only.
#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <string>

#include "io/fault/fault.hpp"
#include "io/ledger/rows.hpp"

namespace SQLite {
class Database;
class Exception;
class Statement;
}  // namespace SQLite

namespace lullwatt::io::ledger {

inline constexpr int kSchema = 2;

enum class Access : std::uint8_t { read, write };

class Connection {
  public:
    // For writing, a file that is not there or empty becomes a ledger. Faults: not a ledger; one of a newer
    // schema; not to be opened. `vfs`: SQLite's name of what lies below it; empty: the system.
    [[nodiscard]] static Read<Connection> open(const std::filesystem::path& file, Access access,
                                               const std::string& vfs);
    Connection(Connection&&) noexcept;
    Connection& operator=(Connection&&) noexcept;
    ~Connection();

    [[nodiscard]] SQLite::Database& database() { return *database_; }
    // Ready for its parameters. `sql` must be a literal: its address is its name.
    [[nodiscard]] SQLite::Statement& prepared(const char* sql);

  private:
    explicit Connection(std::unique_ptr<SQLite::Database> database);

    std::unique_ptr<SQLite::Database> database_;
    std::map<const void*, std::unique_ptr<SQLite::Statement>> statements_;
};

[[nodiscard]] Failure failure_of(const SQLite::Exception& exception);

}  // namespace lullwatt::io::ledger
