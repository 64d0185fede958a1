#include "io/ledger/chain.hpp"

#include <filesystem>
#include <sqlite3.h>

#include "io/ledger/ledger.hpp"
#include "io/ledger/reader.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using io::ledger::Head;
using io::ledger::Ledger;
using io::ledger::Reader;
using tests::utc;

namespace {

// As somebody would who can write the file.
void alter(const std::string& file, const char* sql) {
    sqlite3* database = nullptr;
    REQUIRE(sqlite3_open(file.c_str(), &database) == SQLITE_OK);
    REQUIRE(sqlite3_exec(database, sql, nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(database);
}

// One night, committed; the head after it.
Head one_night(const std::string& file, int day = 20) {
    auto opened = Ledger::open(file);
    REQUIRE(opened.ok());
    Ledger ledger = std::move(opened).value();
    const auto start = ledger.append(
        io::ledger::TransactionStart{{utc(2026, 10, day, 21h)}, "left point", "Heron", "", WattHours(100)});
    const io::ledger::Id id = std::get<io::ledger::Appended>(start).row;
    static_cast<void>(ledger.append(
        io::ledger::TransactionStop{id, {utc(2026, 10, day, 23h)}, WattHours(900), "unplugged"}));
    account::Session session{.plugged_in = {utc(2026, 10, day, 21h), utc(2026, 10, day, 23h)},
                             .energy = WattHours(800)};
    session.parts = {{session.plugged_in, WattHours(800), WattHours(0), "flat", Rate(1), Rate(2)}};
    static_cast<void>(ledger.append(io::ledger::SessionRow{id, session, "CAD", 2, "2026b"}));
    static_cast<void>(ledger.append(io::ledger::Event{{utc(2026, 10, day, 23h)}, "ledger", "note", "a; b"}));
    REQUIRE_FALSE(ledger.commit().has_value());
    return ledger.head();
}

std::string wrong(const std::string& file, const std::optional<Head>& kept = {}) {
    auto reader = Reader::open(file);
    REQUIRE(reader.ok());
    Reader opened = std::move(reader).value();
    const auto verified = opened.verify(kept);
    REQUIRE(verified.ok());
    return verified.value().what;
}

}  // namespace

TEST_CASE("SHA-256 is that of the standard", "[check:sha-256]") {
    // FIPS 180-2 (2002), appendix B.1: the message "abc".
    REQUIRE(io::ledger::hex(io::ledger::sha256("abc")) ==
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST_CASE("the chain shows which row was altered") {
    const tests::Folder folder;
    const std::string file = folder.file("ledger.sqlite");
    const Head head = one_night(file);
    REQUIRE(head.links == 6);
    REQUIRE(wrong(file) == "");
    SECTION("a session's energy") {
        alter(file, "UPDATE sessions SET energy = 700");
        REQUIRE(wrong(file) == "row 1 of sessions is not what was written (link 5)");
    }
    SECTION("a cost part") {
        alter(file, "UPDATE costs SET marginal = 1");
        REQUIRE(wrong(file) == "row 1 of sessions is not what was written (link 5)");
    }
    SECTION("a boundary register") {
        alter(file, "UPDATE readings SET value = 101 WHERE mark = 0");
        REQUIRE(wrong(file) == "row 1 of readings is not what was written (link 2)");
    }
    SECTION("an event taken out") {
        alter(file, "DELETE FROM events");
        REQUIRE(wrong(file) == "row 1 of events is gone (link 6)");
    }
    SECTION("a row put in") {
        alter(file, "INSERT INTO events(at, proven, source, kind, text) VALUES(1, 1, 'x', 'y', 'z')");
        REQUIRE(wrong(file) == "events has 2 rows and 1 links");
    }
    SECTION("a link taken out") {
        alter(file, "DELETE FROM chain WHERE seq = 3");
        REQUIRE(wrong(file) == "link 3 is missing");
    }
}

TEST_CASE("a chain made anew is shown only by a head kept elsewhere") {
    const tests::Folder folder;
    const std::string file = folder.file("ledger.sqlite");
    const Head kept = one_night(file);
    REQUIRE(wrong(file, kept) == "");
    one_night(file, 21);
    REQUIRE(wrong(file, kept) == "");
    std::filesystem::remove(file);
    std::filesystem::remove(file + "-wal");
    std::filesystem::remove(file + "-shm");
    one_night(file, 22);
    REQUIRE(wrong(file) == "");
    REQUIRE(wrong(file, kept) == "link 6 is not the one kept");
    REQUIRE(wrong(file, Head{9, kept.link}) == "the chain has 6 links, the head kept has 9");
}

TEST_CASE("a head is read back as it is printed, and nothing else is one") {
    const Head head{1042, io::ledger::sha256("abc")};
    REQUIRE(io::ledger::parse_head(io::ledger::text(head)) == head);
    for (const char* text :
         {"", "5", "5:", "x:ba7816bf", "-1:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
          "5:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015a",
          "5:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ag"})
        REQUIRE_FALSE(io::ledger::parse_head(text).has_value());
}
