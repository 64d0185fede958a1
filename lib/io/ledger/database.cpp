#include "io/ledger/database.hpp"

#include <array>
#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Exception.h>
#include <SQLiteCpp/Statement.h>
#include <SQLiteCpp/Transaction.h>
#include <fmt/format.h>

#include "io/ledger/schema.hpp"

namespace lullwatt::io::ledger {
namespace {

static_assert(kSteps.size() == kSchema);

Faults fault(const std::filesystem::path& file, std::string what, std::string allowed, std::string mend) {
    return {{file.string(), 0, 0, "", std::move(what), "", std::move(allowed), std::move(mend)}};
}

int pragma(SQLite::Database& database, const char* name) {
    return database.execAndGet(fmt::format("PRAGMA {}", name)).getInt();
}

bool has_tables(SQLite::Database& database) {
    return database.execAndGet("SELECT count(*) FROM sqlite_master").getInt() != 0;
}

std::optional<Faults> not_ours(SQLite::Database& database, const std::filesystem::path& file, Access access) {
    const int application = pragma(database, "application_id");
    if (application != kApplicationId &&
        (access == Access::read || application != 0 || has_tables(database))) {
        return fault(file, "is a database, but no ledger", "a ledger that lullwattd has begun",
                     "name the ledger's file, or one that is not there yet");
    }
    const int schema = pragma(database, "user_version");
    if (schema <= kSchema) return std::nullopt;
    return fault(file, fmt::format("is a ledger of schema {}, written by a newer version", schema),
                 fmt::format("schema {} at most", kSchema),
                 "install that version again; nothing in the file was changed");
}

// Step by step, each whole or not at all.
void migrate(SQLite::Database& database) {
    const SQLite::TransactionBehavior now = SQLite::TransactionBehavior::IMMEDIATE;
    for (;;) {
        SQLite::Transaction whole(database, now);
        const int schema = pragma(database, "user_version");
        if (schema >= kSchema) return;
        database.exec(kSteps[static_cast<std::size_t>(schema)]);
        database.exec(fmt::format("PRAGMA application_id = {}", kApplicationId));
        database.exec(fmt::format("PRAGMA user_version = {}", schema + 1));
        whole.commit();
    }
}

// SQLite syncs a file it makes, not the folder that names it.
void sync_folder(const std::filesystem::path& file) {
    const auto folder = file.has_parent_path() ? file.parent_path() : std::filesystem::path(".");
    const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor < 0) return;
    ::fsync(descriptor);
    ::close(descriptor);
}

void make_durable(SQLite::Database& database) {
    database.exec("PRAGMA journal_mode = WAL");
    database.exec("PRAGMA synchronous = FULL");
    database.exec("PRAGMA foreign_keys = ON");
    database.exec("PRAGMA journal_size_limit = 8388608");
    // Else the last one to close removes the log, and a reader who may not write cannot open the file.
    int keep = 1;
    sqlite3_file_control(database.getHandle(), "main", SQLITE_FCNTL_PERSIST_WAL, &keep);
}

constexpr int kBusyMilliseconds = 5'000;

}  // namespace

Failure failure_of(const SQLite::Exception& exception) {
    const bool full = exception.getErrorCode() == SQLITE_FULL;
    return {full ? Failure::Kind::full : Failure::Kind::storage, exception.what()};
}

Connection::Connection(std::unique_ptr<SQLite::Database> database) : database_(std::move(database)) {}
Connection::Connection(Connection&&) noexcept = default;
Connection& Connection::operator=(Connection&&) noexcept = default;

Connection::~Connection() {
    statements_.clear();  // before their database
}

Read<Connection> Connection::open(const std::filesystem::path& file, Access access, const std::string& vfs) {
    const bool write = access == Access::write;
    try {
        auto database = std::make_unique<SQLite::Database>(
            file.string(), write ? SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE : SQLite::OPEN_READONLY,
            kBusyMilliseconds, vfs);
        if (auto faults = not_ours(*database, file, access)) return *std::move(faults);
        if (write) {
            make_durable(*database);
            migrate(*database);
            if (vfs.empty()) sync_folder(file);
        }
        return Connection(std::move(database));
    } catch (const SQLite::Exception& exception) {
        if (exception.getErrorCode() == SQLITE_CANTOPEN && !write) {
            return fault(file, "cannot be opened", "a ledger that lullwattd has begun",
                         "name the ledger with --ledger, or ask as a user of the group lullwatt");
        }
        if (exception.getErrorCode() == SQLITE_NOTADB) {
            return fault(file, "is no ledger: not a database at all", "a ledger that lullwattd has begun",
                         "name the ledger's file, or restore it from a backup");
        }
        return fault(file, fmt::format("cannot be opened as a ledger: {}", exception.what()),
                     write ? "a folder that can be written to" : "a ledger that can be read",
                     "check the file, its folder and who may use them");
    }
}

SQLite::Statement& Connection::prepared(const char* sql) {
    auto& statement = statements_[sql];
    if (statement == nullptr) {
        statement = std::make_unique<SQLite::Statement>(*database_, sql);
    } else {
        statement->reset();
        statement->clearBindings();
    }
    return *statement;
}

}  // namespace lullwatt::io::ledger
