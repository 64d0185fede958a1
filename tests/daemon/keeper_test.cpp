// The keeper between what is told, planned and driven, without a process.
#include "daemon/keeper/keeper.hpp"

#include <future>

#include "daemon/clock/system_clock.hpp"
#include "daemon/memory_ports.hpp"
#include "daemon/requests/requests.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;
using tests::utc;

namespace {

const Instant kCheapHours = utc(2026, 10, 21, 3h);  // midnight in Halifax

class MemoryNotifier final : public Notifier {
  public:
    void ready(std::string_view) override {}
    void reloading() override {}
    void stopping(std::string_view) override {}
    void status(std::string_view) override {}
    void alive() override {}
    [[nodiscard]] std::optional<std::chrono::microseconds> alive_within() const override { return {}; }
};

struct Kept {
    tests::Folder folder;
    SystemClock real;
    LogBook book{real, Level::error};
    Loop loop;
    tests::MemoryClock clock{kCheapHours};
    MemoryNotifier notifier;
    tests::MemoryEquipment equipment;
    tests::MemoryMeters meters;
    tests::MemoryStore store;
    Worker worker;
    WholeAmps offered{0};
    double house = 20;
    std::optional<Keeper> keeper;

    explicit Kept(bool synchronized = true, Wishes wishes = {}) {
        const std::string site = tests::config("harbour-row-9/site.yaml");
        auto read = io::load_household(site, kCheapHours);
        REQUIRE(read.ok());
        meters.intervals[0] = 1000ms;
        keeper.emplace(
            KeeperPorts{loop, worker, clock, clock, notifier, equipment, meters, store,
                        [](const HouseholdPtr&) {}, Log(book, "test")},
            KeeperFiles{.site = site,
                        .wishes = folder.file("wishes.json"),
                        .synchronized = synchronized ? site : folder.file("none")},
            KeeperBegin{.household = std::make_shared<const io::Household>(std::move(read).value()),
                        .wishes = std::move(wishes),
                        .open = {},
                        .last_recorded = {}});
        keeper->start();
        equipment.heard_by->reported(0, {.taken = clock.now().boot,
                                         .status = control::PointStatus::charging,
                                         .offer = WholeAmps(0),
                                         .current = site::LegAmps{},
                                         .energy_register = WattHours(1000)});
        worker.wait_until_idle();
    }
    void live_to(Seconds seconds) {
        for (Seconds second{0}; second < seconds; second += 1s) {
            clock.pass(1s);
            loop.drain();
            const Amps total(house + offered.count());
            meters.heard_by({.node = 0, .arrived = clock.now().boot, .amps = {total, total}});
            take_offers();
        }
    }
    void take_offers() {
        for (const auto& [point, write] : std::exchange(equipment.offers, {})) {
            if (point == 0) offered = write.periods.front().amps;
            equipment.heard_by->answered(point, write.number, true);
        }
    }
};

}  // namespace

TEST_CASE("a planner that stands still keeps neither the house nor a hold from lowering the car") {
    Kept kept;
    kept.live_to(120s);
    REQUIRE(kept.offered == WholeAmps(20));
    std::promise<void> release;
    std::promise<void> begun;
    const auto hangs = [&](const std::stop_token&) {
        begun.set_value();
        release.get_future().wait();
    };
    REQUIRE(kept.worker.submit(hangs));
    begun.get_future().wait();

    SECTION("the house") {
        kept.house = 90;
        kept.live_to(5s);
        CHECK(kept.offered == WholeAmps(9));
    }
    SECTION("a hold; it is acknowledged when it can be written down") {
        bool written = false;
        Wishes wishes = kept.keeper->wishes();
        wishes.tell(Held{.car = "", .told = kept.clock.now().wall, .until = kept.clock.now().wall + 1h});
        kept.keeper->change_wishes(std::move(wishes), [&](const auto&) { written = true; });
        kept.take_offers();
        CHECK(kept.offered == WholeAmps(0));
        kept.loop.drain();
        CHECK_FALSE(written);
        release.set_value();
        kept.worker.wait_until_idle();
        kept.loop.drain();
        CHECK(written);
        return;
    }
    SECTION("for longer than a plan is good for") {
        kept.live_to(400s);
        kept.house = 90;
        kept.live_to(5s);
        CHECK(kept.offered == WholeAmps(9));
    }
    SECTION("many plans asked for meanwhile are as many as wait, and the loop goes on") {
        for (int each = 0; each < 200; ++each) kept.keeper->clock_stepped();
        kept.house = 90;
        kept.live_to(5s);
        CHECK(kept.offered == WholeAmps(9));
    }
    release.set_value();
    kept.worker.wait_until_idle();
}

TEST_CASE(
    "a point that flickers keeps no plan from being finished: what happens meanwhile is planned for after "
    "it") {
    Kept kept;
    while (!kept.worker.idle() || kept.loop.drain()) kept.worker.wait_until_idle();
    std::promise<void> release;
    REQUIRE(kept.worker.submit([&](const std::stop_token&) { release.get_future().wait(); }));
    const Instant first = kept.clock.now().wall;
    for (int each = 0; each < 10; ++each) {
        const auto status = each % 2 == 0 ? control::PointStatus::empty : control::PointStatus::charging;
        kept.equipment.heard_by->reported(0, {.taken = kept.clock.now().boot,
                                              .status = status,
                                              .offer = WholeAmps(0),
                                              .current = site::LegAmps{},
                                              .energy_register = WattHours(1000)});
        kept.clock.pass(1s);
    }
    release.set_value();
    kept.worker.wait_until_idle();
    kept.loop.drain();
    REQUIRE(kept.keeper->night(0));
    CHECK((kept.keeper->night(0)->made - first) == 0s);
    kept.worker.wait_until_idle();
    kept.loop.drain();
    CHECK((kept.keeper->night(0)->made - first) == 10s);
}

TEST_CASE("a clock that nothing vouches for ends no wish") {
    Wishes told;
    told.tell(Held{.car = "", .told = kCheapHours - 2h, .until = kCheapHours - 1h});
    const Kept unproven(false, told);
    CHECK(unproven.keeper->wishes().holds.size() == 1);
    const Kept proven(true, told);
    CHECK(proven.keeper->wishes().holds.empty());
}

TEST_CASE("after a clock set by years nothing is answered but what reads the settings anew") {
    Kept kept;
    std::string answer;
    const auto ask = [&](const std::string& command) {
        answer.clear();
        requests(*kept.keeper, kept.loop, kept.worker, Log(kept.book, "test"))(
            {.command = command, .fields = {}}, [&](const std::string& line) { answer = line; });
        kept.worker.wait_until_idle();
        kept.loop.drain();
        return answer;
    };
    REQUIRE(ask("now").find("was set by more than a year") == std::string::npos);
    for (const Seconds by : {Seconds(30 * 366 * 86'400LL), Seconds(-60 * 366 * 86'400LL)}) {
        kept.clock.set_wall(by);
        for (const char* command : {"now", "when", "plan", "why", "need", "hold", "sessions", "report"}) {
            INFO(command);
            CHECK(ask(command).find("was set by more than a year") != std::string::npos);
        }
    }
    CHECK(ask("reload").find("was set by more than a year") == std::string::npos);
}

TEST_CASE("a need that cannot be planned leaves the last plan in force, and is told") {
    Kept kept;
    kept.live_to(120s);
    REQUIRE(kept.offered == WholeAmps(20));
    Wishes wishes;
    wishes.tell(
        OneOff{.car = "Heron", .fields = {{"need", "much"}}, .told = kCheapHours, .until = kCheapHours + 6h});
    kept.keeper->change_wishes(std::move(wishes), {});
    kept.worker.wait_until_idle();
    kept.live_to(10s);
    CHECK(kept.keeper->faults(0).size() == 1);
    CHECK(kept.keeper->night(0));
    CHECK(kept.offered == WholeAmps(20));
}

TEST_CASE("a need told in the place of another counts from when it was told") {
    Kept kept;
    const auto tell = [&](const char* need) {
        Wishes wishes = kept.keeper->wishes();
        wishes.tell(OneOff{.car = "Heron",
                           .fields = {{"need", need}},
                           .told = kept.clock.now().wall,
                           .until = kCheapHours + 6h});
        kept.keeper->change_wishes(std::move(wishes), {});
    };
    const auto shows = [&](std::int64_t energy_register) {
        kept.equipment.heard_by->reported(0, {.taken = kept.clock.now().boot,
                                              .status = control::PointStatus::charging,
                                              .energy_register = WattHours(energy_register)});
    };
    tell("5");
    shows(3000);
    CHECK(kept.keeper->done_of_need(0) == WattHours(2000));
    tell("4");
    CHECK(kept.keeper->done_of_need(0) == WattHours(0));
    shows(3500);
    CHECK(kept.keeper->done_of_need(0) == WattHours(500));
}

TEST_CASE("a hold holds the cable of its car, and no other") {
    Kept kept;
    kept.live_to(120s);
    REQUIRE(kept.offered == WholeAmps(20));
    Wishes wishes;
    wishes.tell(Held{.car = "Plover", .told = kCheapHours, .until = kCheapHours + 1h});
    kept.keeper->change_wishes(wishes, {});
    kept.live_to(10s);
    CHECK(kept.offered == WholeAmps(20));  // it is on the other one
    wishes.tell(Held{.car = "Heron", .told = kCheapHours, .until = kCheapHours + 1h});
    kept.keeper->change_wishes(wishes, {});
    kept.live_to(10s);
    CHECK(kept.offered == WholeAmps(0));
}
