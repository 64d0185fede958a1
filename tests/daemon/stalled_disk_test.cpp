// A disk whose sync does not return: what waits for it, and what does not.
#include "daemon/clock/system_clock.hpp"
#include "daemon/drive/driver.hpp"
#include "daemon/memory_ports.hpp"
#include "daemon/store/ledger_store.hpp"
#include "support/catch.hpp"
#include "support/disk.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;
using tests::utc;

TEST_CASE(
    "a sync that stalls keeps no current from being limited, and who waits for the disk is told after it") {
    const Instant evening = utc(2026, 10, 20, 21h);
    auto read = io::load_household(tests::config("harbour-row-9/site.yaml"), evening);
    REQUIRE(read.ok());
    const auto household = std::make_shared<const io::Household>(std::move(read).value());
    tests::Disk disk("stalled");
    SystemClock real;
    LogBook book(real, Level::error);
    const Log log(book, "test");
    Loop loop;
    Worker worker;
    tests::MemoryClock clock(evening);
    tests::MemoryEquipment equipment;
    tests::MemoryMeters meters;
    meters.intervals[0] = 1000ms;
    auto opened = io::ledger::Ledger::open("ledger.sqlite", disk.name());
    REQUIRE(opened.ok());
    LedgerStore store(loop, std::move(opened).value());
    Sessions sessions({loop, worker, store, "no ledger", log}, household, {});
    Minutes minutes(store, household);
    Events events(store, clock);
    Driver driver({clock, clock, equipment, meters, sessions, minutes, events, log}, household, 1, {},
                  [](std::size_t) {});
    driver.trust_wall(true);

    WholeAmps offered(0);
    double house = 20;
    const auto live_to = [&](Seconds seconds) {
        for (Seconds second{0}; second < seconds; second += 1s) {
            clock.pass(1s);
            const Amps total(house + offered.count());
            meters.heard_by({.node = 0, .arrived = clock.now().boot, .amps = {total, total}});
            for (const auto& [point, write] : std::exchange(equipment.offers, {})) {
                if (point == 0) offered = write.periods.front().amps;
                equipment.heard_by->answered(point, write.number, true);
            }
        }
    };
    disk.stall(true);
    std::optional<std::optional<std::int64_t>> recorded;
    equipment.heard_by->reported(0, {.taken = clock.now().boot,
                                     .status = control::PointStatus::charging,
                                     .offer = WholeAmps(0),
                                     .current = site::LegAmps{},
                                     .energy_register = WattHours(1000)});
    equipment.heard_by->began(0, {evening, WattHours(1000), ""},
                              [&](std::optional<std::int64_t> id) { recorded = id; });
    driver.plan(0, {.pieces = {{{evening, evening + 8h}, WholeAmps(20)}}, .slack = 4h});
    live_to(120s);
    CHECK(offered == WholeAmps(20));
    house = 90;
    live_to(5s);
    CHECK(offered == WholeAmps(9));
    loop.drain();
    CHECK_FALSE(recorded);

    disk.stall(false);
    store.wait_until_drained();
    while (!recorded) loop.run_one();
    CHECK(*recorded == 1);
}
