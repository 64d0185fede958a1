// What a day of the running daemon writes to the disk, counted below SQLite.
#include <optional>

#include "daemon/clock/system_clock.hpp"
#include "daemon/drive/driver.hpp"
#include "daemon/memory_ports.hpp"
#include "daemon/simulation/simulated_home.hpp"
#include "io/ledger/grouping.hpp"
#include "io/ledger/ledger.hpp"
#include "support/catch.hpp"
#include "support/disk.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace lullwatt::daemon;
using namespace std::chrono_literals;
using tests::utc;

namespace {

// The ledger's writer without its thread: it commits when the grouping says so, by the test's clock.
class CountedStore final : public Store {
  public:
    CountedStore(const Clock& clock, const tests::Disk& disk) : clock_(clock) {
        auto opened = io::ledger::Ledger::open("ledger.sqlite", disk.name());
        REQUIRE(opened.ok());
        ledger_.emplace(std::move(opened).value());
    }
    void post(io::ledger::Row row, Done done) override {
        const auto appended = ledger_->append(row);
        REQUIRE(std::holds_alternative<io::ledger::Appended>(appended));
        grouping_.row_waits(io::ledger::is_durable(row), time());
        ++rows;
        if (done) done(std::get<io::ledger::Appended>(appended).row);
    }
    [[nodiscard]] std::string trouble() const override { return {}; }
    void pass() {
        if (grouping_.due() && *grouping_.due() <= time()) commit();
    }
    void commit() {
        REQUIRE_FALSE(ledger_->commit().has_value());
        grouping_.committed();
    }
    int rows = 0;

  private:
    [[nodiscard]] io::ledger::Grouping::Time time() const {
        return io::ledger::Grouping::Time{clock_.now().boot.time_since_epoch()};
    }
    const Clock& clock_;
    std::optional<io::ledger::Ledger> ledger_;
    io::ledger::Grouping grouping_{{}};
};

}  // namespace

TEST_CASE(
    "a day of two driven points and a meter that tells every second writes 25 MB and syncs 2,000 times at "
    "most") {
    const Instant noon = utc(2026, 10, 20, 15h);
    auto read = io::load_household(tests::config("harbour-row-9/site.yaml"), noon);
    REQUIRE(read.ok());
    const auto household = std::make_shared<const io::Household>(std::move(read).value());
    tests::Disk disk("daemon-budget");
    SystemClock real;
    LogBook book(real, Level::error);
    const Log log(book, "test");
    Loop loop;
    Worker worker;
    tests::MemoryClock clock(noon);
    CountedStore store(clock, disk);
    SimulatedHome home({loop, clock, clock, log}, household, {});
    Sessions sessions({loop, worker, store, "no ledger", log}, household, {});
    Minutes minutes(store, household);
    Events events(store, clock);
    Driver driver({clock, clock, home, home, sessions, minutes, events, log}, household, 1, {},
                  [](std::size_t) {});
    driver.trust_wall(true);
    const Instant eleven = utc(2026, 10, 21, 2h);
    for (const std::size_t point : {0U, 1U}) {
        driver.plan(point, {.pieces = {{{noon, eleven}, WholeAmps(0)},
                                       {{eleven, eleven + 4h}, WholeAmps(20)},
                                       {{eleven + 4h, noon + 24h}, WholeAmps(0)}}});
    }
    const auto before = disk.counts();
    for (Seconds second{0}; second < 24h; second += 1s) {
        clock.pass(1s);
        while (loop.drain()) {
        }
        store.pass();
    }
    store.commit();
    const std::uint64_t written = disk.counts().written - before.written;
    const std::uint64_t syncs = disk.counts().syncs - before.syncs;
    INFO(store.rows << " rows, " << written << " bytes written, " << syncs << " syncs");
    CHECK(store.rows > 2 * 1'440);
    CHECK(written <= 25'000'000);
    CHECK(syncs <= 2'000);
    CHECK(syncs >= 720);  // a minute's rows wait for another one at most
}
