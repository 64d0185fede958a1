// The keeper between what is told, planned and driven, without a process.
#include "daemon/keeper/keeper.hpp"

#include <future>

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

    Kept() {
        const std::string site = tests::config("harbour-row-9/site.yaml");
        auto read = io::load_household(site, kCheapHours);
        REQUIRE(read.ok());
        meters.intervals[0] = 1000ms;
        keeper.emplace(
            KeeperPorts{loop, worker, clock, clock, notifier, equipment, meters, store,
                        [](const HouseholdPtr&) {}, Log(book, "test")},
            KeeperFiles{.site = site, .wishes = folder.file("wishes.json"), .synchronized = site},
            KeeperBegin{.household = std::make_shared<const io::Household>(std::move(read).value())});
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
