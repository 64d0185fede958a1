// Demand of published quarter hours: intervals by the clock and rolling ones differ.
#include "core/account/demand.hpp"
#include "io/usage/usage.hpp"
#include "support/billing.hpp"
#include "support/samples.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using date::operator""_y;

TEST_CASE("the highest demand of fifteen days of quarter hours", "[check:demand-windows]") {
    // NIST/SGIP Green Button SDK, 15minLP_15Days.xml: highest quarter hour 6.648 kW; half hours by the
    // clock 6.590 and rolling 6.606; hours 6.452 and 6.488 (reckoned from the file by another program).
    const auto file = tests::sample("15minLP_15Days.xml");
    if (!file) SKIP_CASE("LULLWATT_SAMPLES has no 15minLP_15Days.xml");
    const auto usage = io::read_usage(*file, {});
    REQUIRE(usage.ok());
    const tariff::Tariff tariff{.name = "any", .currency = "USD"};
    const Zone clock = Zone::fixed(-5h);
    const account::DateSpan days{2012_y / 2 / 29, 2012_y / 3 / 17};
    const auto highest = [&](Seconds interval, bool rolling) {
        tariff::DemandCharge charge{.name = "demand", .interval = interval, .rolling = rolling};
        const auto intervals = account::demand_intervals(tariff, clock, charge, days, usage.value().readings);
        return account::measured_demand(charge, intervals).power;
    };
    CHECK(highest(15min, false) == Milliwatts(6'648'000));
    CHECK(highest(30min, false) == Milliwatts(6'590'000));
    CHECK(highest(30min, true) == Milliwatts(6'606'000));
    CHECK(highest(60min, false) == Milliwatts(6'452'000));
    CHECK(highest(60min, true) == Milliwatts(6'488'000));
}
