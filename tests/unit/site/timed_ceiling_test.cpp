#include "core/site/timed_ceiling.hpp"

#include "core/site/headroom.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::site;
using namespace std::chrono_literals;

namespace {

constexpr std::array kWeekdays = {false, true, true, true, true, true, false};

CivilTime label(int day, Seconds time_of_day) {  // of June 2026: the 1st is a Monday
    return date::local_days{date::year{2026} / 6 / day} + time_of_day;
}

TimedCeiling between(Seconds from, Seconds to, double most = 16) {
    return {.days = kWeekdays, .from = from, .to = to, .most = Amps(most), .basis = "notice"};
}

// UTC + 1 h, + 2 h from 2026-03-29 01:00 UTC to 2026-10-25 01:00 UTC.
Zone with_summer_time() {
    const auto at = [](int month, int day) {
        return Instant{date::sys_days{date::year{2026} / month / day}};
    };
    return {"middle",
            {{at(1, 1), 3600s, "W"}, {at(3, 29) + 1h, 7200s, "S"}, {at(10, 25) + 1h, 3600s, "W"}},
            {at(1, 1), at(12, 31)}};
}

}  // namespace

TEST_CASE("outside ceilings: in force by the label, its beginning within and its end without") {
    const TimedCeiling evening = between(17h, 21h);
    CHECK_FALSE(in_force(evening, label(1, 16h + 59min)));
    CHECK(in_force(evening, label(1, 17h)));
    CHECK(in_force(evening, label(1, 20h + 59min)));
    CHECK_FALSE(in_force(evening, label(1, 21h)));
    CHECK_FALSE(in_force(evening, label(6, 18h)));  // Saturday
    CHECK(in_force(between(0h, 24h), label(1, 23h + 59min)));
    CHECK_FALSE(in_force(between(0h, 24h), label(7, 12h)));
}

TEST_CASE("outside ceilings: over midnight one belongs to the day it begins on") {
    const TimedCeiling night = between(22h, 6h);
    CHECK(in_force(night, label(5, 22h)));        // Friday
    CHECK(in_force(night, label(6, 5h)));         // its night ends on Saturday
    CHECK_FALSE(in_force(night, label(6, 22h)));  // none begins on Saturday
    CHECK_FALSE(in_force(night, label(8, 5h)));   // nor on Sunday
    CHECK_FALSE(in_force(night, label(6, 6h)));
    CHECK_FALSE(in_force(between(22h, 0h), label(2, 0h)));
}

TEST_CASE("outside ceilings: the least of those that touch a stretch of time holds") {
    const Zone utc = Zone::fixed(0s);
    const TimedCeilings two = {between(17h, 21h, 16), between(20h, 23h, 10)};
    const Instant monday = Instant{date::sys_days{date::year{2026} / 6 / 1}};
    const auto least = [&](Seconds from, Seconds to) {
        return least_within(two, {monday + from, monday + to}, utc);
    };
    CHECK_FALSE(least(0h, 17h));
    CHECK(least(16h, 17h + 1s) == Amps(16));
    CHECK(least(17h, 20h) == Amps(16));
    CHECK(least(17h, 20h + 1s) == Amps(10));
    CHECK(least(16h, 22h) == Amps(10));
    CHECK(least(22h, 24h) == Amps(10));
    CHECK_FALSE(least(23h, 24h));
    CHECK(least_ever(two) == Amps(10));
    CHECK_FALSE(least_ever({}));
    CHECK_FALSE(least_within({}, {monday, monday + 24h}, utc));
}

TEST_CASE("outside ceilings: edges go by the clock that people read, also where it changes") {
    const Zone zone = with_summer_time();
    const Instant day = Instant{date::sys_days{date::year{2026} / 3 / 29}};  // a Sunday
    TimedCeiling early = between(2h + 30min, 5h);
    early.days.fill(true);
    // 02:30 is skipped: it begins with the first label that exists, 03:00, at 01:00 UTC.
    CHECK(may_change({early}, {day, day + 6h}, zone) == std::vector<Instant>{day + 1h, day + 3h});
    CHECK_FALSE(least_within({early}, {day, day + 1h}, zone));
    CHECK(least_within({early}, {day + 1h, day + 1h + 1s}, zone) == Amps(16));
    CHECK_FALSE(least_within({early}, {day + 3h, day + 4h}, zone));
    // In the long night 02:30 comes twice, and 02:00 between.
    const Instant autumn = Instant{date::sys_days{date::year{2026} / 10 / 25}};
    CHECK(may_change({early}, {autumn, autumn + 6h}, zone) ==
          std::vector<Instant>{autumn + 30min, autumn + 1h, autumn + 1h + 30min, autumn + 4h});
    CHECK_FALSE(least_within({early}, {autumn + 1h, autumn + 1h + 30min}, zone));
    CHECK(may_change({early}, {autumn + 30min, autumn + 1h}, zone).empty());
}

TEST_CASE("outside ceilings: two overlap where one begins within the other, over midnight too") {
    CHECK(overlap(between(17h, 21h), between(20h, 22h)));
    CHECK(overlap(between(20h, 22h), between(17h, 21h)));
    CHECK_FALSE(overlap(between(17h, 21h), between(21h, 22h)));
    CHECK(overlap(between(22h, 6h), between(5h, 7h)));
    TimedCeiling saturday = between(5h, 7h);
    saturday.days = {false, false, false, false, false, false, true};
    CHECK(overlap(between(22h, 6h), saturday));  // Friday's night
    CHECK(overlap(saturday, between(22h, 6h)));
    TimedCeiling sunday = saturday;
    sunday.days = {true, false, false, false, false, false, false};
    CHECK_FALSE(overlap(between(22h, 6h), sunday));
}

TEST_CASE("outside ceilings: house and car together stay below, and the ceiling is named") {
    Site site{.leg_to_neutral = Volts(120),
              .nodes = {{.name = "service", .rating = Amps(100), .legs = {Leg::L1, Leg::L2}}},
              .points = {{.name = "wall", .legs = {Leg::L1, Leg::L2}, .hard_setting = WholeAmps(40)}}};
    site.nodes[0].ceilings = {between(17h, 21h, 30)};
    const Instant monday = Instant{date::sys_days{date::year{2026} / 6 / 1}};
    SiteLoads loads(1);
    loads[0].forecast = {{{monday, monday + 24h}, {Amps(5), Amps(12.5), Amps(0)}}};
    const auto at = [&](Seconds from) {
        return ceiling(site, 0, loads, {WholeAmps(6)}, Zone::fixed(0s),
                       {monday + from, monday + from + 300s});
    };
    CHECK(at(17h).most == WholeAmps(17));
    CHECK(at(17h).limiter == Limiter::ceiling);
    CHECK(at(17h).node == 0);
    CHECK(at(17h).leg == Leg::L2);
    CHECK(at(21h).most == WholeAmps(40));
    // It stands above every need, standing currents among them.
    site.nodes[0].ceilings[0].most = Amps(14);
    CHECK(at(17h).most == WholeAmps(1));
}
