#include <filesystem>
#include <fstream>
#include <sqlite3.h>

#include "io/ledger/ledger.hpp"
#include "io/ledger/reader.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using io::ledger::Ledger;
using io::ledger::Reader;
using tests::utc;

namespace {

const std::string kKept = LULLWATT_SOURCE_DIR "/tests/unit/ledger/schema-1.sql";

void execute(const std::string& file, const std::string& sql) {
    sqlite3* database = nullptr;
    REQUIRE(sqlite3_open(file.c_str(), &database) == SQLITE_OK);
    INFO(sqlite3_errmsg(database));
    REQUIRE(sqlite3_exec(database, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(database);
}

// What a database's tables and indexes are, one a line.
std::string schema_of(const std::string& file) {
    sqlite3* database = nullptr;
    REQUIRE(sqlite3_open(file.c_str(), &database) == SQLITE_OK);
    std::string text;
    const auto add = [](void* into, int, char** columns, char**) {
        *static_cast<std::string*>(into) += std::string(columns[0]) + "\n";
        return 0;
    };
    REQUIRE(sqlite3_exec(database, "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY name", add,
                         &text, nullptr) == SQLITE_OK);
    sqlite3_close(database);
    return text;
}

std::string fault_of(const io::Faults& faults, const std::string& file) {
    REQUIRE(faults.size() == 1);
    REQUIRE(faults[0].file == file);
    return faults[0].what;
}

}  // namespace

TEST_CASE("a ledger kept from schema 1 opens, holds its night, and goes on") {
    const tests::Folder folder;
    const std::string file = folder.file("kept.sqlite");
    execute(file, tests::whole(kKept));
    {
        auto opened = Ledger::open(file);
        REQUIRE(opened.ok());
        Ledger ledger = std::move(opened).value();
        static_cast<void>(ledger.append(io::ledger::Event{{utc(2027, 1, 1)}, "ledger", "note", "goes on"}));
        REQUIRE_FALSE(ledger.commit().has_value());
    }
    auto reader = Reader::open(file);
    REQUIRE(reader.ok());
    Reader open = std::move(reader).value();
    REQUIRE(open.verify().value().what.empty());
    const auto session = open.session_of(1).value();
    REQUIRE(session.has_value());
    REQUIRE(session->row.session.energy == WattHours(18'600));
    REQUIRE(open.events({Instant{}, utc(2100, 1, 1)}).value().size() == 2);
}

TEST_CASE("a kept ledger that was opened has the tables of a new one") {
    const tests::Folder folder;
    execute(folder.file("kept.sqlite"), tests::whole(kKept));
    REQUIRE(Ledger::open(folder.file("new.sqlite")).ok());
    REQUIRE(schema_of(folder.file("new.sqlite")) != schema_of(folder.file("kept.sqlite")));
    REQUIRE(Ledger::open(folder.file("kept.sqlite")).ok());
    REQUIRE(schema_of(folder.file("new.sqlite")) == schema_of(folder.file("kept.sqlite")));
}

TEST_CASE("a kept ledger that no service has opened since is read as it is") {
    const tests::Folder folder;
    const std::string file = folder.file("kept.sqlite");
    execute(file, tests::whole(kKept));
    auto reader = Reader::open(file);
    REQUIRE(reader.ok());
    Reader open = std::move(reader).value();
    REQUIRE(open.session_of(1).value().has_value());
    REQUIRE(open.count_events("ledger", "note", Instant{}).ok());
    REQUIRE(open.verify().value().what.empty());
}

TEST_CASE("an empty file becomes a ledger of the newest schema") {
    const tests::Folder folder;
    const std::string file = folder.file("empty.sqlite");
    std::ofstream(file).flush();
    REQUIRE(Ledger::open(file).ok());
    REQUIRE(Reader::open(file).ok());
}

TEST_CASE("a ledger of a newer version is refused, and left as it was") {
    const tests::Folder folder;
    const std::string file = folder.file("newer.sqlite");
    REQUIRE(Ledger::open(file).ok());
    execute(file, "PRAGMA user_version = 7");
    const auto opened = Ledger::open(file);
    REQUIRE_FALSE(opened.ok());
    REQUIRE(
        io::text(opened.faults().front()) ==
        file +
            ": is a ledger of schema 7, written by a newer version. Allowed: schema 2 at most. Mend: install "
            "that version again; nothing in the file was changed.");
    REQUIRE_FALSE(Reader::open(file).ok());
}

TEST_CASE("what is no ledger is refused") {
    const tests::Folder folder;
    SECTION("another program's database") {
        const std::string file = folder.file("other.sqlite");
        execute(file, "CREATE TABLE recipes(name TEXT)");
        REQUIRE(fault_of(Ledger::open(file).faults(), file) == "is a database, but no ledger");
        REQUIRE(fault_of(Reader::open(file).faults(), file) == "is a database, but no ledger");
    }
    SECTION("text") {
        const std::string file = folder.file("text.sqlite");
        std::ofstream(file) << std::string(2'000, 'x');
        REQUIRE(fault_of(Ledger::open(file).faults(), file) == "is no ledger: not a database at all");
        REQUIRE(fault_of(Reader::open(file).faults(), file) == "is no ledger: not a database at all");
    }
    SECTION("a folder that is not there") {
        const std::string file = folder.file("no/ledger.sqlite");
        REQUIRE_FALSE(Ledger::open(file).ok());
        REQUIRE(fault_of(Reader::open(file).faults(), file) == "cannot be opened");
        REQUIRE_FALSE(std::filesystem::exists(file));
    }
}

TEST_CASE("a ledger is read while its writer has it open, and after a clean end by who may not write") {
    const tests::Folder folder;
    const std::string file = folder.file("read.sqlite");
    {
        auto opened = Ledger::open(file);
        REQUIRE(opened.ok());
        Ledger ledger = std::move(opened).value();
        auto reader = Reader::open(file);
        REQUIRE(reader.ok());
        Reader open = std::move(reader).value();
        static_cast<void>(ledger.append(io::ledger::Event{{utc(2027, 1, 1)}, "ledger", "note", "one"}));
        REQUIRE(open.head().value().links == 0);
        REQUIRE_FALSE(ledger.commit().has_value());
        REQUIRE(open.head().value().links == 1);
    }
    REQUIRE(std::filesystem::exists(file + "-wal"));  // kept for a reader who cannot make one
    auto reader = Reader::open(file);
    REQUIRE(reader.ok());
    REQUIRE(std::move(reader).value().head().value().links == 1);
}
