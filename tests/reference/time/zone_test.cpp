// Civil zones as loaded from this system, against the published rules and the values computed from zone data.
#include "io/zone/zone.hpp"

#include <cstdlib>
#include <ctime>
#include <fstream>
#include <random>
#include <sstream>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace date::literals;
using namespace std::chrono_literals;
using date::sys_days;

namespace {

const Instant kNow{sys_days{2026_y / nov / 1}};

Zone zone(const std::string& name, int first_year = 1990, int last_year = 2041) {
    const Interval years{Instant{sys_days{date::year{first_year} / jan / 1}},
                         Instant{sys_days{date::year{last_year + 1} / jan / 1}}};
    auto read = load_zone(name, years, kNow);
    INFO((read.ok() ? std::string{} : text(read.faults().front())));
    REQUIRE(read.ok());
    return std::move(read).value();
}

// The instants at which the offset changes in a year of UTC.
std::vector<Instant> changes(const Zone& zone, int year) {
    std::vector<Instant> found;
    const Instant end{sys_days{date::year{year + 1} / jan / 1}};
    for (Instant at{sys_days{date::year{year} / jan / 1} - Seconds{1}}; (at = zone.next_change(at)) < end;) {
        found.push_back(at);
    }
    return found;
}

std::vector<Instant> at(const std::vector<long long>& seconds) {
    std::vector<Instant> instants;
    for (const long long each : seconds) instants.emplace_back(Seconds{each});
    return instants;
}

Instant utc(sys_days day, Seconds time) { return day + time; }

Seconds month_length(const Zone& zone, date::year_month month) {
    return civil_day(zone, (month + date::months{1}) / 1).begin - civil_day(zone, month / 1).begin;
}

}  // namespace

// Computed from tzdata with other software; the same in releases 2025b and 2026f.
TEST_CASE("clocks change at the instants the zone data gives", "[check:dst-instants]") {
    struct Row {
        const char* name;
        std::vector<long long> in_2026;
        std::vector<long long> in_2027;
    };
    const auto row = GENERATE(Row{"America/Toronto", {1772953200, 1793512800}, {1805007600, 1825567200}},
                              Row{"America/Los_Angeles", {1772964000, 1793523600}, {1805018400, 1825578000}},
                              Row{"Europe/London", {1774746000, 1792890000}, {1806195600, 1824944400}},
                              Row{"Europe/Stockholm", {1774746000, 1792890000}, {1806195600, 1824944400}},
                              Row{"America/St_Johns", {1772947800, 1793507400}, {1805002200, 1825561800}},
                              Row{"Australia/Sydney", {1775318400, 1791043200}, {1806768000, 1822492800}},
                              Row{"Australia/Adelaide", {1775320200, 1791045000}, {1806769800, 1822494600}});
    INFO(row.name);
    CHECK(changes(zone(row.name), 2026) == at(row.in_2026));
    CHECK(changes(zone(row.name), 2027) == at(row.in_2027));
}

TEST_CASE("clocks with odd offsets change at the instants the zone data gives", "[check:dst-instants-odd]") {
    CHECK(changes(zone("Australia/Lord_Howe"), 2026) == at({1775314800, 1791041400}));
    CHECK(changes(zone("Pacific/Chatham"), 2026) ==
          std::vector{utc(2026_y / apr / 4, 14h), utc(2026_y / sep / 26, 14h)});
}

TEST_CASE("clocks that never change keep their offset", "[check:no-dst]") {
    struct Row {
        const char* name;
        Seconds offset;
    };
    const auto row = GENERATE(Row{"America/Phoenix", -7h}, Row{"America/Regina", -6h},
                              Row{"Asia/Kolkata", 5h + 30min}, Row{"Australia/Brisbane", 10h});
    const Zone never = zone(row.name, 2026, 2041);
    CHECK(never.next_change(never.known().begin) == never.known().end);
    CHECK(never.offset_at(kNow) == row.offset);
}

// Lengths follow from the instants above.
TEST_CASE("days are 23, 23.5, 24, 24.5 or 25 hours long", "[check:day-lengths]") {
    struct Row {
        const char* name;
        CivilDate shorter;
        CivilDate longer;
        Seconds by;
    };
    const auto row = GENERATE(Row{"America/Toronto", 2026_y / mar / 8, 2026_y / nov / 1, 1h},
                              Row{"America/Los_Angeles", 2027_y / mar / 14, 2027_y / nov / 7, 1h},
                              Row{"America/St_Johns", 2026_y / mar / 8, 2026_y / nov / 1, 1h},
                              Row{"Europe/London", 2026_y / mar / 29, 2026_y / oct / 25, 1h},
                              Row{"Europe/Stockholm", 2027_y / mar / 28, 2027_y / oct / 31, 1h},
                              Row{"Australia/Sydney", 2026_y / oct / 4, 2026_y / apr / 5, 1h},
                              Row{"Australia/Adelaide", 2026_y / oct / 4, 2026_y / apr / 5, 1h},
                              Row{"Pacific/Chatham", 2026_y / sep / 27, 2026_y / apr / 5, 1h},
                              Row{"Australia/Lord_Howe", 2026_y / oct / 4, 2026_y / apr / 5, 30min});
    INFO(row.name);
    const Zone here = zone(row.name);
    CHECK(civil_day(here, row.shorter).length() == 24h - row.by);
    CHECK(civil_day(here, row.longer).length() == 24h + row.by);
    CHECK(civil_day(here, 2026_y / jul / 1).length() == 24h);
}

TEST_CASE("a month with a change of clocks has an hour more or less", "[check:month-lengths]") {
    const Zone toronto = zone("America/Toronto");
    CHECK(month_length(toronto, 2026_y / mar) == 743h);
    CHECK(month_length(toronto, 2026_y / nov) == 721h);
    CHECK(month_length(toronto, 2026_y / apr) == 720h);
}

TEST_CASE("a half-hour zone skips and repeats half an hour", "[check:half-hour]") {
    const Zone lord_howe = zone("Australia/Lord_Howe");
    const auto label = [](CivilDate day, Seconds time) { return CivilTime{date::local_days{day} + time}; };
    SECTION("skipped, 02:00 to 02:30 on October 4") {
        CHECK(lord_howe.instants(label(2026_y / oct / 4, 2h + 15min)).empty());
        CHECK(lord_howe.instant(label(2026_y / oct / 4, 2h + 15min)) == Instant{1791041400s});
        CHECK(lord_howe.instants(label(2026_y / oct / 4, 2h + 30min)) == at({1791041400}));
    }
    SECTION("repeated, 01:30 to 02:00 on April 5") {
        CHECK(lord_howe.instants(label(2026_y / apr / 5, 1h + 45min)).size() == 2);
        CHECK(lord_howe.instants(label(2026_y / apr / 5, 2h)).size() == 1);
        CHECK(lord_howe.instants(label(2026_y / apr / 5, 1h + 29min)).size() == 1);
    }
}

// Second Sunday of March to first Sunday of November at 02:00: pge.com, daylightsaving.shtml. Last Sundays of
// March and October at 01:00 UTC: Directive 2000/84/EC. Lord Howe: rule in tzdata. All beyond 2037, where the
// files' lists end.
TEST_CASE("clocks still change after 2037", "[check:after-2037]") {
    const int year = GENERATE(2036, 2037, 2038, 2039, 2040, 2041);
    const date::year y{year};
    INFO(year);
    CHECK(changes(zone("America/Toronto"), year) ==
          std::vector{utc(y / mar / sun[2], 7h), utc(y / nov / sun[1], 6h)});
    CHECK(changes(zone("Europe/Stockholm"), year) ==
          std::vector{utc(y / mar / sun[date::last], 1h), utc(y / oct / sun[date::last], 1h)});
    CHECK(changes(zone("Australia/Lord_Howe"), year) ==
          std::vector<Instant>{sys_days{y / apr / sun[1]} - 9h, sys_days{y / oct / sun[1]} - 8h - 30min});
    CHECK(changes(zone("America/Regina"), year).empty());
}

// zdump of tzdata 2025b.
TEST_CASE("the year 1990 is read by its own rules", "[check:year-1990]") {
    const Zone toronto = zone("America/Toronto");
    CHECK(civil_day(toronto, 1990_y / jan / 1).begin == utc(1990_y / jan / 1, 5h));
    CHECK(changes(toronto, 1990) == std::vector{utc(1990_y / apr / 1, 7h), utc(1990_y / oct / 28, 6h)});
    CHECK(changes(zone("Europe/London"), 1990) ==
          std::vector{utc(1990_y / mar / 25, 1h), utc(1990_y / oct / 28, 1h)});
    CHECK(changes(zone("Australia/Lord_Howe"), 1990) ==
          std::vector{utc(1990_y / mar / 3, 15h), utc(1990_y / oct / 27, 15h + 30min)});
}

// glibc by TZ=NAME, one conversion per instant, of every zone that zone1970.tab lists.
TEST_CASE("every zone of the table reads as the C library reads it", "[check:zones-against-glibc]") {
    std::ifstream table("/usr/share/zoneinfo/zone1970.tab");
    REQUIRE(table);
    std::mt19937_64 random(20'261'101);
    std::uniform_int_distribution<long long> seconds(utc(2015_y / jan / 1, 0h).time_since_epoch().count(),
                                                     utc(2045_y / jan / 1, 0h).time_since_epoch().count());
    int zones = 0;
    for (std::string line; std::getline(table, line);) {
        if (line.starts_with('#')) continue;
        std::string countries, place, name;
        std::istringstream(line) >> countries >> place >> name;
        INFO(name);
        const Zone here = zone(name, 2015, 2044);
        setenv("TZ", name.c_str(), 1);
        tzset();
        for (int n = 0; n < 200; ++n) {
            const std::time_t at = seconds(random);
            std::tm local{};
            REQUIRE(localtime_r(&at, &local) != nullptr);
            INFO(at);
            REQUIRE(here.offset_at(Instant{Seconds{at}}) == Seconds{local.tm_gmtoff});
            REQUIRE(here.abbreviation_at(Instant{Seconds{at}}) == local.tm_zone);
        }
        ++zones;
    }
    unsetenv("TZ");
    tzset();
    CHECK(zones > 300);
}
