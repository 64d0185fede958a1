// The driver between limiter and ports, without a process.
#include "daemon/drive/driver.hpp"

#include "daemon/clock/system_clock.hpp"
#include "daemon/memory_ports.hpp"
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
    SystemClock real;
    LogBook book{real, Level::error};
    Loop loop;
    Worker worker;
    tests::MemoryClock clock{kEvening};
    tests::MemoryEquipment equipment;
    tests::MemoryMeters meters;
    tests::MemoryStore store;
    std::shared_ptr<const io::Household> household = harbour_row();
    Sessions sessions{{loop, worker, store, "no ledger", Log(book, "test")}, household, {}};
    Minutes minutes{store, household};
    Events events{store, clock};
    std::vector<std::size_t> changed;
    std::optional<Driver> driver;

    Driven() {
        meters.intervals[0] = 1000ms;
        driver.emplace(
            DriverPorts{clock, clock, equipment, meters, sessions, minutes, events, Log(book, "test")},
            household, 1, [this](std::size_t point) { changed.push_back(point); });
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
    CHECK(kinds == std::vector<std::string>{"link-lost", "link-back", "restarted", "refused", "fault"});
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
