// What holds for any instant and any label on any clock.
#include <algorithm>
#include <array>
#include <map>
#include <rapidcheck.h>

#include "core/time/holidays.hpp"
#include "io/zone/zone.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace date::literals;
using namespace std::chrono_literals;

namespace {

// Whole and half hours, both hemispheres, no change at all, 45 minutes, midnight skipped, a date skipped, a
// change at 00:01, and a fixed clock.
constexpr std::array kNames{"America/Toronto", "America/Halifax", "America/St_Johns",    "America/Santiago",
                            "America/Havana",  "Europe/London",   "Europe/Stockholm",    "Africa/Cairo",
                            "Asia/Kathmandu",  "Asia/Beirut",     "Australia/Lord_Howe", "Australia/Adelaide",
                            "Pacific/Chatham", "Pacific/Apia",    "America/Regina",      "UTC"};

constexpr Instant kFirst{date::sys_days{1990_y / jan / 1}};
constexpr Instant kLast{date::sys_days{2045_y / jan / 1}};

const Zone& zone(const std::string& name) {
    static std::map<std::string, Zone> zones;
    auto found = zones.find(name);
    if (found == zones.end()) {
        const Instant now{date::sys_days{2026_y / nov / 1}};
        auto read = io::load_zone(name, {kFirst - 240h, kLast + 240h}, now);
        REQUIRE(read.ok());
        found = zones.emplace(name, std::move(read).value()).first;
    }
    return found->second;
}

const Zone& any_zone() {
    return zone(*rc::gen::elementOf(std::vector<std::string>(kNames.begin(), kNames.end())));
}

// Anywhere, or within three hours of a change, where the trouble is.
Instant any_instant(const Zone& zone) {
    const Instant anywhere{
        Seconds{*rc::gen::inRange(kFirst.time_since_epoch().count(), kLast.time_since_epoch().count())}};
    if (*rc::gen::arbitrary<bool>()) return anywhere;
    const Instant change = std::min(zone.next_change(anywhere), kLast);
    return change + Seconds{*rc::gen::inRange(-10'800, 10'801)};
}

}  // namespace

TEST_CASE("an instant is among those that carry its own label") {
    CHECK(rc::check([] {
        const Zone& here = any_zone();
        const Instant at = any_instant(here);
        const auto carriers = here.instants(here.civil(at));
        RC_ASSERT(std::count(carriers.begin(), carriers.end(), at) == 1);
        RC_ASSERT(here.instant(here.civil(at)) == carriers.front());
        RC_ASSERT(carriers.front() <= at);
    }));
}

TEST_CASE("a label has no, one or two instants, each of which reads it") {
    CHECK(rc::check([] {
        const Zone& here = any_zone();
        const CivilTime label = here.civil(any_instant(here)) + Seconds{*rc::gen::inRange(-7'200, 7'201)};
        const auto carriers = here.instants(label);
        RC_ASSERT(carriers.size() <= 2);
        RC_ASSERT(std::is_sorted(carriers.begin(), carriers.end()));
        for (const Instant at : carriers) RC_ASSERT(here.civil(at) == label);
        // No other instant reads it: around each change the two offsets are all there is.
        const Instant about{label.time_since_epoch()};
        std::vector<Instant> sought;
        for (const Seconds offset :
             {here.offset_at(about - 25h), here.offset_at(about), here.offset_at(about + 25h)}) {
            if (here.civil(about - offset) == label) sought.push_back(about - offset);
        }
        for (const Instant at : sought) RC_ASSERT(std::count(carriers.begin(), carriers.end(), at) == 1);
        RC_ASSERT(carriers.empty() == sought.empty());
    }));
}

TEST_CASE("a skipped label means the change that skipped it") {
    CHECK(rc::check([] {
        const Zone& here = any_zone();
        const Instant change = here.next_change(any_instant(here));
        RC_PRE(change < kLast);
        const CivilTime first = here.civil(change - 1s) + 1s;
        const auto skipped = (here.civil(change) - first).count();
        RC_PRE(skipped > 0);
        const CivilTime label = first + Seconds{*rc::gen::inRange<long>(0, skipped)};
        RC_ASSERT(here.instants(label).empty());
        RC_ASSERT(here.instant(label) == change);
    }));
}

TEST_CASE("civil days tile the time line, and hold the instants their dates label") {
    CHECK(rc::check([] {
        const Zone& here = any_zone();
        const Instant at = any_instant(here);
        const auto date = date::floor<date::days>(here.civil(at));
        const Interval before = civil_day(here, CivilDate{date - date::days{1}});
        const Interval day = civil_day(here, CivilDate{date});
        const Interval after = civil_day(here, CivilDate{date + date::days{1}});
        RC_ASSERT(before.end == day.begin);
        RC_ASSERT(day.end == after.begin);
        RC_ASSERT(day.begin <= at);
        // A clock set back across midnight returns to the evening before within the day that has begun.
        RC_ASSERT(day.contains(at) ||
                  (after.contains(at) && here.offset_at(at) < here.offset_at(after.begin)));
    }));
}

TEST_CASE("nights tile the time line too") {
    CHECK(rc::check([] {
        const Zone& here = any_zone();
        const CivilDate evening{date::floor<date::days>(here.civil(any_instant(here)))};
        const CivilDate next{date::local_days{evening} + date::days{1}};
        RC_ASSERT(night(here, evening).end == night(here, next).begin);
    }));
}

TEST_CASE("between two changes the clock runs evenly") {
    CHECK(rc::check([] {
        const Zone& here = any_zone();
        const Instant at = any_instant(here);
        const Instant end = here.next_change(at);
        RC_ASSERT(at < end);
        RC_ASSERT(here.civil(end - 1s) - here.civil(at) == (end - 1s) - at);
    }));
}

TEST_CASE("every holiday that falls is kept once, on a weekday where its rule moves it") {
    CHECK(rc::check([] {
        std::vector<HolidayRule> rules;
        const int count = *rc::gen::inRange(1, 12);
        for (int n = 0; n < count; ++n) {
            const date::month month{static_cast<unsigned>(*rc::gen::inRange(1, 13))};
            const date::day day{static_cast<unsigned>(*rc::gen::inRange(1, 29))};
            rules.push_back({std::to_string(n), FixedDate{month / day}});
        }
        const auto observance = *rc::gen::element(Observance::nearest_weekday, Observance::next_free_weekday);
        const HolidayCalendar calendar(rules, observance);
        const int year = *rc::gen::inRange(1990, 2045);
        std::map<std::string, int> times;
        std::vector<CivilDate> days;
        for (int each = year - 1; each <= year + 1; ++each) {
            for (const ObservedHoliday& holiday : calendar.in_year(each)) {
                const date::weekday weekday{date::sys_days{holiday.observed}};
                RC_ASSERT(weekday != sat);
                RC_ASSERT(weekday != sun);
                RC_ASSERT(calendar.holiday(holiday.observed).has_value());
                if (int{holiday.actual.year()} == year) ++times[holiday.name];
                if (holiday.actual != holiday.observed) days.push_back(holiday.observed);
            }
        }
        RC_ASSERT(times.size() == rules.size());
        for (const auto& [name, n] : times) RC_ASSERT(n == 1);
        std::sort(days.begin(), days.end());
        if (observance == Observance::next_free_weekday) {
            RC_ASSERT(std::adjacent_find(days.begin(), days.end()) == days.end());
        }
    }));
}
