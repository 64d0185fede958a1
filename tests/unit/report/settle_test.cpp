// From a transaction as the ledger has it to its session.
#include "io/report/settle.hpp"

#include "support/catch.hpp"
#include "support/house.hpp"
#include "support/shell.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;

TEST_CASE("a register that shows tenths of a kilowatt-hour only loses none on a small circuit") {
    const Instant begin = tests::utc(2026, 10, 21, 3h);
    auto read = io::load_household(tests::config("harbour-row-9/site.yaml"), begin);
    REQUIRE(read.ok());
    io::Household household = std::move(read).value();
    household.site.site.points[0].hard_setting = WholeAmps(8);
    io::ledger::StoredTransaction transaction{.id = 1,
                                              .point = "left point",
                                              .car = "Heron",
                                              .begin = {begin},
                                              .end = io::ledger::Stamp{begin + 1h}};
    for (Seconds at{0}; at <= 1h; at += 10s) {
        const WattHours counted{52'300 + 1'920 * at.count() / 3600};
        transaction.readings.push_back({begin + at, WattHours(counted.count() / 100 * 100)});
    }
    const auto row = io::settle_session(household, transaction);
    REQUIRE(row.ok());
    CHECK(row.value().session.energy == WattHours(1'900));
    CHECK(row.value().session.breaks == 0);
}
