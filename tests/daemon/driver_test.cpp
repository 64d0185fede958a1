// The driver between limiter and ports, without a process.
#include "daemon/drive/driver.hpp"

#include "daemon/clock/system_clock.hpp"
#include "daemon/memory_ports.hpp"
#include "io/ledger/ledger.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;
using tests::utc;

namespace {

const Instant kEvening = utc(2026, 10, 20, 21h);

std::shared_ptr<const io::Household> harbour_row() {
    auto read = io::load_household(tests::config("harbour-row-9/site.yaml"), kEvening);
    REQUIRE(read.ok());
    return std::make_shared<const io::Household>(std::move(read).value());
}

struct Driven {
    tests::Folder folder;
    SystemClock real;
    LogBook book{real, Level::error};
    Loop loop;
    Worker worker;
    tests::MemoryClock clock{kEvening};
    tests::MemoryEquipment equipment;
    tests::MemoryMeters meters;
    tests::MemoryStore store;
    std::shared_ptr<const io::Household> household = harbour_row();
    Sessions sessions{{loop, worker, store, folder.file("ledger.sqlite"), Log(book, "test")}, household, {}};
    Minutes minutes{store, household};
    Events events{store, clock};
    std::vector<std::size_t> changed;
    std::optional<Driver> driver;

    Driven() {
        meters.intervals[0] = 1000ms;
        driver.emplace(
            DriverPorts{clock, clock, equipment, meters, sessions, minutes, events, Log(book, "test")},
            household, 1, std::vector<control::WritesSoFar>{},
            [this](std::size_t point) { changed.push_back(point); });
        driver->trust_wall(true);
    }
    void report(control::PointStatus status, std::int64_t energy_register) {
        equipment.heard_by->reported(0, {.taken = clock.now().boot,
                                         .status = status,
                                         .offer = WholeAmps(0),
                                         .current = site::LegAmps{},
                                         .energy_register = WattHours(energy_register)});
    }
};

}  // namespace

TEST_CASE("what a plan gives is offered as a lease, once the equipment was heard and the house is quiet") {
    Driven driven;
    driven.report(control::PointStatus::charging, 1000);
    driven.driver->plan(0, {.pieces = {{{kEvening, kEvening + 8h}, WholeAmps(20)}}, .slack = 4h});
    for (int second = 0; second < 120; ++second) {
        driven.clock.pass(1s);
        driven.meters.heard_by({.node = 0, .arrived = driven.clock.now().boot, .amps = {Amps(20), Amps(20)}});
        for (const auto& [point, write] : std::exchange(driven.equipment.offers, {})) {
            driven.equipment.heard_by->answered(point, write.number, true);
        }
    }
    REQUIRE(driven.driver->decision());
    CHECK(driven.driver->decision()->points[0].setpoint == WholeAmps(20));
    CHECK(driven.driver->decision()->points[0].lease_ends);
    CHECK(driven.driver->decision()->points[1].setpoint <= WholeAmps(6));
    driven.driver->hold(0, kEvening + 6h);
    REQUIRE_FALSE(driven.equipment.offers.empty());
    CHECK(driven.equipment.offers.back().second.reduces);
    CHECK(driven.equipment.offers.back().second.periods.front().amps == WholeAmps(0));
}

TEST_CASE("a status that changes is told once, a report without news is not") {
    Driven driven;
    driven.report(control::PointStatus::empty, 1000);
    driven.report(control::PointStatus::empty, 1000);
    driven.report(control::PointStatus::charging, 1000);
    CHECK(driven.changed == std::vector<std::size_t>{0, 0});
}

TEST_CASE(
    "a transaction is begun, read at quarters and ended in the store, and its energy is known meanwhile") {
    Driven driven;
    std::optional<std::int64_t> recorded;
    driven.equipment.heard_by->began(0, {kEvening, WattHours(1000), "card"},
                                     [&](std::optional<std::int64_t> id) { recorded = id; });
    CHECK(recorded == 1);
    for (int minute = 1; minute <= 40; ++minute) {
        driven.clock.pass(1min);
        driven.report(control::PointStatus::charging, 1000 + minute * 80);
    }
    CHECK(driven.sessions.begun_at(0) == WattHours(1000));
    CHECK(driven.sessions.last_register(0) == WattHours(4200));
    driven.equipment.heard_by->ended(0, {driven.clock.now().wall, WattHours(4300), "unplugged"});
    const auto starts = driven.store.all<io::ledger::TransactionStart>();
    REQUIRE(starts.size() == 1);
    CHECK(starts[0].point == "left point");
    CHECK(starts[0].car == "Heron");
    CHECK(driven.store.all<io::ledger::Reading>().size() == 2);  // of 18:15 and 18:30
    const auto stops = driven.store.all<io::ledger::TransactionStop>();
    REQUIRE(stops.size() == 1);
    CHECK(stops[0].transaction == 1);
    CHECK(stops[0].value == WattHours(4300));
    CHECK_FALSE(driven.sessions.begun_at(0));
}

TEST_CASE(
    "with a full disk a session is told as not recorded, and its energy still counts towards the need") {
    Driven driven;
    driven.store.refuses = true;
    std::optional<std::int64_t> recorded = 7;
    driven.equipment.heard_by->began(0, {kEvening, WattHours(1000), ""},
                                     [&](std::optional<std::int64_t> id) { recorded = id; });
    CHECK_FALSE(recorded);
    driven.report(control::PointStatus::charging, 1500);
    CHECK(driven.sessions.begun_at(0) == WattHours(1000));
    CHECK(driven.sessions.last_register(0) == WattHours(1500));
}

TEST_CASE(
    "a session that ends before its begin is on the disk is recorded whole, and takes no other's number") {
    Driven driven;
    EquipmentListener& heard = *driven.equipment.heard_by;
    driven.store.stalls = true;
    heard.began(0, {kEvening, WattHours(1000), ""}, {});
    heard.ended(0, {kEvening + 1h, WattHours(1500), "unplugged"});
    heard.began(0, {kEvening + 2h, WattHours(1500), ""}, {});
    driven.store.go_on();
    const auto first = driven.store.all<io::ledger::TransactionStop>();
    REQUIRE(first.size() == 1);
    CHECK(first[0].transaction == 1);
    CHECK(first[0].value == WattHours(1500));
    heard.ended(0, {kEvening + 3h, WattHours(1700), "unplugged"});
    const auto both = driven.store.all<io::ledger::TransactionStop>();
    REQUIRE(both.size() == 2);
    CHECK(both[1].transaction == 3);  // the store numbers all rows as one
}

TEST_CASE("a begin said again is the same session, and takes nothing back of what the register counted") {
    Driven driven;
    EquipmentListener& heard = *driven.equipment.heard_by;
    const TransactionBegun begun{kEvening, WattHours(1000), ""};
    heard.began(0, begun, {});
    driven.clock.pass(10min);
    driven.report(control::PointStatus::charging, 1400);
    heard.began(0, begun, {});
    CHECK(driven.sessions.last_register(0) == WattHours(1400));
    const auto starts = driven.store.all<io::ledger::TransactionStart>();
    REQUIRE(starts.size() == 2);
    CHECK(starts[0].when == starts[1].when);
    heard.ended(0, {kEvening + 1h, WattHours(1500), "unplugged"});
    CHECK(driven.store.all<io::ledger::TransactionStop>().at(0).transaction == 1);
}

TEST_CASE("a session that could not be settled is settled once other settings are taken") {
    Driven driven;
    EquipmentListener& heard = *driven.equipment.heard_by;
    heard.began(0, {kEvening, WattHours(1000), ""}, {});
    heard.ended(0, {kEvening + 1h, WattHours(2500), "unplugged"});
    driven.worker.wait_until_idle();
    driven.loop.drain();
    CHECK(driven.store.all<io::ledger::SessionRow>().empty());  // there is no ledger yet
    {
        auto ledger = io::ledger::Ledger::open(driven.folder.file("ledger.sqlite"));
        REQUIRE(ledger.ok());
        io::ledger::Ledger open = std::move(ledger).value();
        for (const auto& row : driven.store.rows) static_cast<void>(open.append(row));
        REQUIRE_FALSE(open.commit());
    }
    driven.sessions.change(driven.household);
    driven.worker.wait_until_idle();
    driven.loop.drain();
    const auto rows = driven.store.all<io::ledger::SessionRow>();
    REQUIRE(rows.size() == 1);
    CHECK(rows[0].session.energy == WattHours(1500));
    driven.sessions.change(driven.household);
    driven.worker.wait_until_idle();
    driven.loop.drain();
    CHECK(driven.store.all<io::ledger::SessionRow>().size() == 1);
}

TEST_CASE("of a point's sessions whose end nobody told, those before the last are settled at the start") {
    Driven driven;
    const std::string file = driven.folder.file("ledger.sqlite");
    {
        auto ledger = io::ledger::Ledger::open(file);
        REQUIRE(ledger.ok());
        io::ledger::Ledger open = std::move(ledger).value();
        for (const int hours : {0, 5}) {
            const auto id = open.append(io::ledger::TransactionStart{
                {kEvening + hours * 1h}, "left point", "Heron", "", WattHours(1000 + hours * 1000)});
            static_cast<void>(open.append(io::ledger::Reading{"left point",
                                                              std::get<io::ledger::Appended>(id).row,
                                                              {kEvening + hours * 1h + 15min},
                                                              WattHours(1800 + hours * 1000)}));
        }
        REQUIRE_FALSE(open.commit());
    }
    auto reader = io::ledger::Reader::open(file);
    REQUIRE(reader.ok());
    const auto unsettled = std::move(reader).value().unsettled();
    REQUIRE(unsettled.ok());
    Sessions sessions({driven.loop, driven.worker, driven.store, file, Log(driven.book, "test")},
                      driven.household, unsettled.value());
    driven.worker.wait_until_idle();
    driven.loop.drain();
    const auto rows = driven.store.all<io::ledger::SessionRow>();
    REQUIRE(rows.size() == 1);
    CHECK(rows[0].transaction == 1);
    CHECK(rows[0].session.energy == WattHours(800));
    CHECK(sessions.begun_at(0) == WattHours(6000));
}

TEST_CASE("a point's times never go back while a wall clock is set back") {
    Driven driven;
    EquipmentListener& heard = *driven.equipment.heard_by;
    heard.began(0, {kEvening, WattHours(1000), ""}, {});
    driven.clock.pass(20min);
    driven.report(control::PointStatus::charging, 2000);
    driven.clock.set_wall(-2h);
    driven.clock.pass(20min);
    driven.report(control::PointStatus::charging, 3000);
    driven.clock.pass(20min);
    heard.ended(0, {driven.clock.now().wall, WattHours(4000), "unplugged"});
    const auto readings = driven.store.all<io::ledger::Reading>();
    REQUIRE(readings.size() == 1);
    CHECK(readings[0].when == io::ledger::Stamp{kEvening + 40min, false});
    const auto stops = driven.store.all<io::ledger::TransactionStop>();
    REQUIRE(stops.size() == 1);
    CHECK(stops[0].when == io::ledger::Stamp{kEvening + 1h, false});

    // The next one goes on from there, and one a day later is by the clock again.
    heard.began(0, {driven.clock.now().wall, WattHours(4000), ""}, {});
    CHECK(driven.store.all<io::ledger::TransactionStart>().back().when.at == kEvening + 1h);
    heard.ended(0, {driven.clock.now().wall, WattHours(4000), ""});
    driven.clock.pass(24h);
    heard.began(0, {driven.clock.now().wall, WattHours(4000), ""}, {});
    CHECK(driven.store.all<io::ledger::TransactionStart>().back().when ==
          io::ledger::Stamp{driven.clock.now().wall, true});
}

TEST_CASE("a link that is lost and one that is back, a restart, a refusal and a fault are events") {
    Driven driven;
    EquipmentListener& heard = *driven.equipment.heard_by;
    heard.link(0, true);  // at the start: no event
    heard.link(0, false);
    heard.link(0, true);
    heard.restarted(0, driven.clock.now().boot);
    heard.answered(0, 1, false);
    driven.report(control::PointStatus::faulted, 1000);
    std::vector<std::string> kinds;
    for (const auto& event : driven.store.all<io::ledger::Event>()) {
        CHECK(event.source == "left point");
        kinds.push_back(event.kind);
    }
    CHECK(kinds == std::vector<std::string>{"link-lost", "link-back", "restarted", "offered", "refused", "fault"});
}

TEST_CASE("the house's minutes are kept while the clock is proven, and not while nobody knows the time") {
    Driven driven;
    const auto minutes_of_samples = [&] {
        for (int second = 0; second < 121; ++second) {
            driven.clock.pass(1s);
            driven.meters.heard_by(
                {.node = 0, .arrived = driven.clock.now().boot, .amps = {Amps(20), Amps(20)}});
        }
        return driven.store.all<io::ledger::Minute>().size();
    };
    driven.driver->trust_wall(false);
    CHECK(minutes_of_samples() == 0);
    driven.driver->trust_wall(true);
    CHECK(minutes_of_samples() == 4);
}

TEST_CASE("an outside ceiling lowers what is offered when its hour comes, and lets go when it has passed") {
    Driven driven;
    site::TimedCeiling ceiling{.from = 18h + 30min, .to = 19h, .most = Amps(25), .basis = "notice"};
    ceiling.days.fill(true);  // the evening begins at 18:00 by the site's clock
    auto with_ceiling = std::make_shared<io::Household>(*driven.household);
    with_ceiling->site.site.nodes[0].ceilings = {ceiling};
    driven.driver->change(with_ceiling);
    driven.report(control::PointStatus::charging, 1000);
    driven.driver->plan(0, {.pieces = {{{kEvening, kEvening + 8h}, WholeAmps(20)}}, .slack = 4h});
    const auto offered = [&] { return driven.driver->decision()->points[0].setpoint; };
    const auto run_to = [&](Instant end) {
        while (driven.clock.now().wall < end) {
            driven.clock.pass(1s);
            const Amps car(offered());
            driven.meters.heard_by(
                {.node = 0, .arrived = driven.clock.now().boot, .amps = {Amps(10) + car, Amps(10) + car}});
            driven.equipment.heard_by->reported(0, {.taken = driven.clock.now().boot,
                                                    .status = control::PointStatus::charging,
                                                    .current = site::LegAmps{car, car}});
            for (const auto& [point, write] : std::exchange(driven.equipment.offers, {}))
                driven.equipment.heard_by->answered(point, write.number, true);
        }
    };
    run_to(kEvening + 30min - 1s);
    CHECK(offered() == WholeAmps(20));
    run_to(kEvening + 30min + 4s);
    CHECK(offered() == WholeAmps(15));
    CHECK(driven.driver->decision()->points[0].reasons.front().bind == control::Bind::ceiling);
    run_to(kEvening + 60min - 1s);
    CHECK(offered() == WholeAmps(15));
    run_to(kEvening + 62min);
    CHECK(offered() == WholeAmps(20));
}
