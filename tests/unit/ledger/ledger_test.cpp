#include "io/ledger/ledger.hpp"

#include "io/ledger/reader.hpp"
#include "support/catch.hpp"
#include "support/disk.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using io::ledger::Appended;
using io::ledger::Failure;
using io::ledger::Id;
using io::ledger::Ledger;
using io::ledger::Reader;
using io::ledger::Row;
using io::ledger::SessionRow;
using tests::utc;

namespace {

constexpr const char* kFile = "ledger.sqlite";
const Interval kAlways{Instant{}, utc(2100, 1, 1)};

Ledger opened(const tests::Disk& disk) {
    auto ledger = Ledger::open(kFile, disk.name());
    REQUIRE(ledger.ok());
    return std::move(ledger).value();
}
Reader reader_of(const tests::Disk& disk) {
    auto reader = Reader::open(kFile, disk.name());
    REQUIRE(reader.ok());
    return std::move(reader).value();
}

Appended append(Ledger& ledger, const Row& row) {
    const auto appended = ledger.append(row);
    if (const auto* failure = std::get_if<Failure>(&appended)) FAIL(failure->what);
    return std::get<Appended>(appended);
}

std::string refusal(Ledger& ledger, const Row& row) {
    const auto appended = ledger.append(row);
    REQUIRE(std::holds_alternative<Failure>(appended));
    REQUIRE(std::get<Failure>(appended).kind == Failure::Kind::refused);
    return std::get<Failure>(appended).what;
}

io::ledger::TransactionStart plugged_in() {
    return {{utc(2026, 10, 20, 21h)}, "left point", "Heron", "tag", WattHours(52'310)};
}
io::ledger::TransactionStop unplugged(Id transaction) {
    return {transaction, {utc(2026, 10, 21, 10h)}, WattHours(70'910), "unplugged"};
}

SessionRow session_of(Id transaction) {
    account::Session session{.plugged_in = {utc(2026, 10, 20, 21h), utc(2026, 10, 21, 10h)},
                             .energy = WattHours(18'600),
                             .uncertain = WattHours(12)};
    session.parts = {{{utc(2026, 10, 21, 2h), utc(2026, 10, 21, 2h + 15min)},
                      WattHours(18'600),
                      WattHours(12),
                      "night",
                      Rate(95'100'000'000),
                      Rate(109'365'000'000),
                      true}};
    session.at_once = Money(4'320'000);
    session.resets = 1;
    return {transaction, session, "CAD", 2, "2026b"};
}

}  // namespace

TEST_CASE("what was appended is read as it was, and not before it is committed") {
    const tests::Disk disk("as-it-was");
    Ledger ledger = opened(disk);
    const Id id = append(ledger, plugged_in()).row;
    append(ledger, io::ledger::Sample{"left point", utc(2026, 10, 21, 1h), {}, WattHours(60'000)});
    append(ledger, io::ledger::Sample{"left point", utc(2026, 10, 21, 1h), site::Leg::L2, Amps(19.9)});
    append(ledger, io::ledger::Reading{"left point", id, {utc(2026, 10, 21, 2h)}, WattHours(61'000)});
    append(ledger, unplugged(id));
    append(ledger, session_of(id));
    append(ledger, io::ledger::Event{{utc(2026, 10, 21, 3h), false}, "left point", "fault", "ground fault"});
    append(ledger, io::ledger::Minute{"service", site::Leg::L2, utc(2026, 10, 21, 1h),
                                      io::ledger::Spread<Watts>{Watts(2'400.5), Watts(9'000), Watts(120)}});

    Reader reader = reader_of(disk);
    REQUIRE(reader.sessions(kAlways).value().empty());
    REQUIRE_FALSE(reader.transaction(id).value().has_value());
    REQUIRE_FALSE(ledger.commit().has_value());

    const auto transaction = reader.transaction(id).value();
    REQUIRE(transaction.has_value());
    REQUIRE(transaction->point == "left point");
    REQUIRE(transaction->car == "Heron");
    REQUIRE(transaction->token == "tag");
    REQUIRE(transaction->end.has_value());
    REQUIRE(transaction->reason == "unplugged");
    REQUIRE(transaction->readings ==
            std::vector<account::RegisterReading>{{utc(2026, 10, 20, 21h), WattHours(52'310)},
                                                  {utc(2026, 10, 21, 1h), WattHours(60'000)},
                                                  {utc(2026, 10, 21, 2h), WattHours(61'000)},
                                                  {utc(2026, 10, 21, 10h), WattHours(70'910)}});
    const auto sessions = reader.sessions(kAlways).value();
    REQUIRE(sessions.size() == 1);
    REQUIRE(sessions[0].row.session == session_of(id).session);
    REQUIRE(sessions[0].row.currency == "CAD");
    REQUIRE(sessions[0].row.zone_data == "2026b");
    REQUIRE(sessions[0].clock_proven);
    const auto events = reader.events(kAlways).value();
    REQUIRE(events.size() == 1);
    REQUIRE(events[0].event.text == "ground fault");
    REQUIRE_FALSE(events[0].event.when.proven);
    const auto minutes = reader.minutes("service", kAlways).value();
    REQUIRE(minutes.size() == 1);
    REQUIRE(minutes[0].leg == site::Leg::L2);
    REQUIRE(std::get<io::ledger::Spread<Watts>>(minutes[0].load) ==
            io::ledger::Spread<Watts>{Watts(2'400.5), Watts(9'000), Watts(120)});
    REQUIRE(reader.last_instant().value() == utc(2026, 10, 21, 10h));
    REQUIRE(reader.unsettled().value().empty());
}

TEST_CASE("events of a kind are counted for each source, and those since a time") {
    const tests::Disk disk("counted");
    Ledger ledger = opened(disk);
    for (const int hour : {1, 2, 3})
        append(ledger, io::ledger::Event{
                           {utc(2026, 10, 21, std::chrono::hours{hour})}, "left point", "offered", "16 A"});
    append(ledger, io::ledger::Event{{utc(2026, 10, 21, 3h)}, "left point", "fault", "ground fault"});
    append(ledger, io::ledger::Event{{utc(2026, 10, 21, 3h)}, "right point", "offered", "6 A"});
    REQUIRE_FALSE(ledger.commit().has_value());
    Reader reader = reader_of(disk);
    const auto count = reader.count_events("left point", "offered", utc(2026, 10, 21, 2h)).value();
    REQUIRE(count.ever == 3);
    REQUIRE(count.since == 2);
    REQUIRE(reader.count_events("nowhere", "offered", utc(2026, 10, 21, 2h)).value().ever == 0);
}

TEST_CASE("what is said twice stands once") {
    const tests::Disk disk("twice");
    Ledger ledger = opened(disk);
    const Id id = append(ledger, plugged_in()).row;
    append(ledger, unplugged(id));
    append(ledger, session_of(id));
    append(ledger, io::ledger::Reading{"left point", {}, {utc(2026, 10, 20, 20h)}, WattHours(52'310)});
    REQUIRE_FALSE(ledger.commit().has_value());
    const auto head = ledger.head();

    const Appended again = append(ledger, plugged_in());
    REQUIRE(again.already);
    REQUIRE(again.row == id);
    REQUIRE(append(ledger, unplugged(id)).already);
    REQUIRE(append(ledger, session_of(id)).already);
    REQUIRE(append(ledger, io::ledger::Reading{"left point", {}, {utc(2026, 10, 20, 20h)}, WattHours(52'310)})
                .already);
    REQUIRE_FALSE(ledger.commit().has_value());
    REQUIRE(ledger.head() == head);
}

TEST_CASE("transaction numbers go up and are never used again") {
    const tests::Disk disk("numbers");
    auto start = plugged_in();
    std::vector<Id> ids;
    for (int day = 0; day < 3; ++day) {
        Ledger ledger = opened(disk);  // each day another process
        start.when.at += 24h;
        ids.push_back(append(ledger, start).row);
        REQUIRE_FALSE(ledger.commit().has_value());
    }
    REQUIRE(ids == std::vector<Id>{1, 2, 3});
}

TEST_CASE("a correction is a row that names the old one, which stays") {
    const tests::Disk disk("corrections");
    Ledger ledger = opened(disk);
    const Id id = append(ledger, plugged_in()).row;
    append(ledger, unplugged(id));
    const Id reading =
        append(ledger, io::ledger::Reading{"left point", id, {utc(2026, 10, 20, 23h)}, WattHours(60'000)})
            .row;
    const Id first = append(ledger, session_of(id)).row;
    const auto links = ledger.head().links;

    // The clock was an hour wrong.
    append(
        ledger,
        io::ledger::Reading{
            "left point", id, {utc(2026, 10, 21, 0h)}, WattHours(60'000), io::ledger::Mark::clock, reading});
    SessionRow better = session_of(id);
    better.session.uncertain = WattHours(0);
    better.corrects = first;
    append(ledger, better);
    REQUIRE_FALSE(ledger.commit().has_value());
    REQUIRE(ledger.head().links > links);

    Reader reader = reader_of(disk);
    REQUIRE(reader.transaction(id).value()->readings[1].at == utc(2026, 10, 21, 0h));
    REQUIRE(reader.transaction(id).value()->readings.size() == 3);
    const auto sessions = reader.sessions(kAlways).value();
    REQUIRE(sessions.size() == 1);
    REQUIRE(sessions[0].row.session.uncertain == WattHours(0));
    REQUIRE(reader.session_of(id).value()->row.corrects == first);

    SECTION("and only the newest can be corrected") {
        REQUIRE(refusal(ledger, better) == "session row 1 is not the newest of transaction 1");
        REQUIRE(refusal(ledger, io::ledger::Reading{"left point",
                                                    id,
                                                    {utc(2026, 10, 21, 1h)},
                                                    WattHours(60'000),
                                                    io::ledger::Mark::clock,
                                                    reading}) == "reading 3 is corrected already");
    }
}

TEST_CASE("rows that name what is not there are refused, and the rows before them stand") {
    const tests::Disk disk("refused");
    Ledger ledger = opened(disk);
    const Id id = append(ledger, plugged_in()).row;
    REQUIRE(refusal(ledger, unplugged(77)) == "there is no transaction 77");
    REQUIRE(refusal(ledger, session_of(77)) == "there is no transaction 77");
    REQUIRE(refusal(ledger, io::ledger::Reading{"left point", 77, {utc(2026, 10, 20)}, WattHours(1)}) ==
            "there is no transaction 77");
    REQUIRE(refusal(ledger, io::ledger::Event{{utc(2026, 10, 20)}, "ledger", "note", "", 5}) ==
            "there is no event 5 to correct");
    REQUIRE_FALSE(ledger.commit().has_value());
    REQUIRE(reader_of(disk).transaction(id).value().has_value());
}

TEST_CASE("a full disk writes nothing by halves, and with room again all goes on") {
    tests::Disk disk("full");
    Ledger ledger = opened(disk);
    const Id id = append(ledger, plugged_in()).row;
    REQUIRE_FALSE(ledger.commit().has_value());
    const auto head = ledger.head();
    disk.set_capacity(disk.size());

    const auto appended = ledger.append(unplugged(id));
    auto failure = ledger.commit();
    if (const auto* sooner = std::get_if<Failure>(&appended)) failure = *sooner;
    REQUIRE(failure.has_value());
    REQUIRE(failure.value_or(Failure{}).kind == Failure::Kind::full);
    REQUIRE(ledger.head() == head);
    REQUIRE_FALSE(reader_of(disk).transaction(id).value()->end.has_value());

    disk.set_capacity(~std::uint64_t{0});
    append(ledger, unplugged(id));
    REQUIRE_FALSE(ledger.commit().has_value());
    Reader reader = reader_of(disk);
    REQUIRE(reader.transaction(id).value()->end.has_value());
    REQUIRE(reader.verify().value().what.empty());
}
