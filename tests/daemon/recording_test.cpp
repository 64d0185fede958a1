// What is kept of the house and of what happened: minute rows and events.
#include "daemon/clock/system_clock.hpp"
#include "daemon/drive/events.hpp"
#include "daemon/drive/minutes.hpp"
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

}  // namespace

TEST_CASE("a minute of a node is one row per leg, with mean, greatest and least, once it is over") {
    tests::MemoryStore store;
    Minutes minutes(store, harbour_row());
    for (int second = 0; second < 60; ++second) {
        minutes.sampled(0, {Amps(second < 30 ? 10 : 40), Amps(-2)}, kEvening + Seconds{second});
    }
    CHECK(store.rows.empty());
    minutes.sampled(0, {Amps(7), Amps(7)}, kEvening + 60s);
    const auto rows = store.all<io::ledger::Minute>();
    REQUIRE(rows.size() == 2);
    CHECK(rows[0].node == "service");
    CHECK(rows[0].begin == kEvening);
    CHECK(rows[0].leg == site::Leg::L1);
    CHECK(std::get<io::ledger::Spread<Amps>>(rows[0].load) ==
          io::ledger::Spread<Amps>{Amps(25), Amps(40), Amps(10)});
    CHECK(std::get<io::ledger::Spread<Amps>>(rows[1].load) ==
          io::ledger::Spread<Amps>{Amps(-2), Amps(-2), Amps(-2)});  // fed into the grid
    SECTION("a clock that is set back begins a minute of its own") {
        minutes.sampled(0, {Amps(8), Amps(8)}, kEvening - 1h);
        CHECK(store.all<io::ledger::Minute>().size() == 4);
    }
    SECTION("what a minute has so far is not lost by other settings") {
        minutes.change(harbour_row());
        REQUIRE(store.all<io::ledger::Minute>().size() == 4);
        CHECK(store.all<io::ledger::Minute>()[2].begin == kEvening + 60s);
    }
}

TEST_CASE("what happens again and again is one event in ten minutes, and the next tells how often it was") {
    tests::MemoryStore store;
    tests::MemoryClock clock(kEvening);
    Events events(store, clock);
    events.trust_wall(true);
    for (int each = 0; each < 5; ++each) {
        events.happened("left point", "link-lost", "its link is lost");
        events.happened("left point", "link-back", "its link is back");
        clock.pass(60s);
    }
    CHECK(store.rows.size() == 2);
    clock.pass(10min);
    events.happened("left point", "link-lost", "its link is lost");
    events.happened("right point", "link-lost", "its link is lost");
    const auto rows = store.all<io::ledger::Event>();
    REQUIRE(rows.size() == 4);
    CHECK(rows[0].when.at == kEvening);
    CHECK(rows[0].when.proven);
    CHECK(rows[2].text == "its link is lost (4 more like it since)");
    CHECK(rows[3].text == "its link is lost");
}
