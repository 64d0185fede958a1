#include "core/vehicle/habit.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::vehicle;

namespace {

constexpr Seconds kHour{3600};
const Instant kMonday{Seconds{4 * 86400}};  // 5 January 1970, midnight

const Car kCar{
    .name = "Heron", .battery = WattHours(60'000), .most = WholeAmps(32), .per_100_km = WattHours(18'000)};
const std::vector<Habit> kHabits = {{.days = {false, true, true, true, true, true, false},
                                     .leaves = 7 * kHour,
                                     .returns = 17 * kHour,
                                     .distance = Kilometres(50)}};

}  // namespace

TEST_CASE("outings are those that begin between plug-in and ready-by, each with what it takes") {
    const Zone clock = Zone::fixed(Seconds{0});
    const auto found =
        outings(kCar, kHabits, clock, {kMonday + 18 * kHour, kMonday + Seconds{3 * 86400} + 7 * kHour});
    REQUIRE(found.size() == 2);  // Tuesday and Wednesday; on Thursday it is ready by then
    CHECK(found[0].when.begin == kMonday + Seconds{86400} + 7 * kHour);
    CHECK(found[0].when.end == kMonday + Seconds{86400} + 17 * kHour);
    CHECK(found[0].battery_use == WattHours(9'000));
    // Plugged in while it is usually out: it is there.
    CHECK(outings(kCar, kHabits, clock, {kMonday + 12 * kHour, kMonday + 20 * kHour}).empty());
    CHECK(outings(kCar, {}, clock, {kMonday, kMonday + 20 * kHour}).empty());
}

TEST_CASE("a need is told at the battery but for energy at the register and a learned fill") {
    CHECK(told_at_battery(Fill{}));
    CHECK(told_at_battery(Distance{Kilometres(20)}));
    CHECK(told_at_battery(ChargeRange{{20}, {80}}));
    CHECK_FALSE(told_at_battery(RegisterEnergy{WattHours(5'000)}));
    CHECK_FALSE(told_at_battery(Fill{.learned = WattHours(20'000)}));
    CHECK(charge_on_arrival(Fill{}) == StateOfCharge{30});
    CHECK(charge_on_arrival(ChargeRange{{20}, {80}}) == StateOfCharge{20});
    CHECK_FALSE(charge_on_arrival(Distance{Kilometres(20)}));
    CHECK(between(kCar, {20}, {80}) == MilliwattHours(40'000'000));
}
