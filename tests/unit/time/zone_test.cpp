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

TEST_CASE("a label outside the missing or repeated hour is one instant") {
    const CivilTime before = local_days{2026_y / 3 / 8} + 2h - 1s;
    const CivilTime after = local_days{2026_y / 3 / 8} + 3h;
    REQUIRE(halifax().instants(before).size() == 1);
    REQUIRE(halifax().instants(after).size() == 1);
    CHECK(halifax().instants(after).front() - halifax().instants(before).front() == 1s);
    CHECK(halifax().instants(local_days{2026_y / 11 / 1} + 1h).size() == 2);
    CHECK(halifax().instants(local_days{2026_y / 11 / 1} + 2h).size() == 1);
}

TEST_CASE("the next change is the first after an instant, or the end of what is known") {
    CHECK(halifax().next_change(Instant{1772949599s}) == Instant{1772949600s});
    CHECK(halifax().next_change(Instant{1772949600s}) == Instant{1793509200s});
    CHECK(halifax().next_change(Instant{1793509200s}) == Instant{1900000000s});
}

TEST_CASE("a date the clock skips is an empty day between its neighbours") {
    // Like Apia at the end of 2011: from 24:00 on December 29 straight to 00:00 on December 31.
    const Instant jump{date::sys_days{2011_y / 12 / 30} + 10h};
    const Zone zone{"test/date line",
                    {{Instant{0s}, -10h, "east"}, {jump, 14h, "west"}},
                    {Instant{0s}, Instant{1900000000s}}};
    CHECK(civil_day(zone, 2011_y / 12 / 29).end == jump);
    CHECK(civil_day(zone, 2011_y / 12 / 30) == Interval{jump, jump});
    CHECK(civil_day(zone, 2011_y / 12 / 31).begin == jump);
    CHECK(civil_day(zone, 2011_y / 12 / 31).length() == 24h);
}

TEST_CASE("a day begins at the first instant after a midnight that was skipped") {
    const Instant spring{date::sys_days{2026_y / 3 / 8} + 5h};  // 00:00 becomes 01:00
    const Zone zone{"test/midnight",
                    {{Instant{0s}, -5h, "standard"}, {spring, -4h, "summer"}},
                    {Instant{0s}, Instant{1900000000s}}};
    CHECK(civil_day(zone, 2026_y / 3 / 8).begin == spring);
    CHECK(civil_day(zone, 2026_y / 3 / 8).length() == 23h);
}

TEST_CASE("a repeated midnight belongs to the day that began with the earlier one") {
    const Instant autumn{date::sys_days{2026_y / 11 / 1} + 5h};  // 01:00 becomes 00:00
    const Zone zone{"test/midnight",
                    {{Instant{0s}, -4h, "summer"}, {autumn, -5h, "standard"}},
                    {Instant{0s}, Instant{1900000000s}}};
    CHECK(civil_day(zone, 2026_y / 11 / 1).begin == autumn - 1h);
    CHECK(civil_day(zone, 2026_y / 11 / 1).length() == 25h);
    CHECK(civil_day(zone, 2026_y / 10 / 31).length() == 24h);
}
