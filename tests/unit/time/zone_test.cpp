#include "core/time/zone.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using date::local_days;
using date::operator""_y;

namespace {

// Halifax-like, around 2026: UTC−4, −3 from 2026-03-08T06:00Z to 2026-11-01T05:00Z.
Zone halifax() {
    return {
        "test/halifax",
        {{Instant{0s}, -4h, "AST"}, {Instant{1772949600s}, -3h, "ADT"}, {Instant{1793509200s}, -4h, "AST"}},
        {Instant{0s}, Instant{1900000000s}}};
}

}  // namespace

TEST_CASE("a skipped label moves forward to the first instant that exists") {
    const CivilTime label = local_days{2026_y / 3 / 8} + 2h + 30min;
    CHECK(halifax().instants(label).empty());
    CHECK(halifax().instant(label) == Instant{1772949600s});
}

TEST_CASE("a repeated label is the earlier of its two instants") {
    const CivilTime label = local_days{2026_y / 11 / 1} + 1h + 30min;
    const auto both = halifax().instants(label);
    REQUIRE(both.size() == 2);
    CHECK(both[1] - both[0] == 1h);
    CHECK(halifax().instant(label) == both[0]);
}

TEST_CASE("civil days are as long as the clock makes them") {
    CHECK(civil_day(halifax(), 2026_y / 3 / 8).length() == 23h);
    CHECK(civil_day(halifax(), 2026_y / 11 / 1).length() == 25h);
    CHECK(civil_day(halifax(), 2026_y / 7 / 1).length() == 24h);
    CHECK(night(halifax(), 2026_y / 10 / 31).length() == 25h);
}

TEST_CASE("a fixed clock never changes") {
    const Zone clock = Zone::fixed(-(3h + 30min));
    CHECK(clock.name() == "UTC-03:30");
    CHECK(clock.civil(Instant{0s}) == local_days{1969_y / 12 / 31} + 20h + 30min);
}
