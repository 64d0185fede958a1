// Easter against another way to compute it and against printed dates.
#include <array>

#include "core/time/holidays.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace date::literals;

namespace {

// The Sunday after the church's full moon, by epacts as Lilius and Clavius laid them down for the reform of
// 1582 (Knuth, The Art of Computer Programming 1, exercise 1.3.2-14; from memory); the weekday is the
// calendar's own.
CivilDate easter_by_epact(int year) {
    const int golden_number = year % 19 + 1;
    const int century = year / 100 + 1;
    const int leap_days_left_out = 3 * century / 4 - 12;
    const int moon_correction = (8 * century + 5) / 25 - 5;
    int epact = (11 * golden_number + 20 + moon_correction - leap_days_left_out) % 30;
    if (epact < 0) epact += 30;
    if (epact == 24 || (epact == 25 && golden_number > 11)) ++epact;
    int full_moon = 44 - epact;  // day of March
    if (full_moon < 21) full_moon += 30;
    date::sys_days day = date::sys_days{date::year{year} / mar / 1} + date::days{full_moon};
    while (date::weekday{day} != sun) day += date::days{1};
    return day;
}

}  // namespace

TEST_CASE("Easter is the Sunday after the epact's full moon, 1583 to 4099", "[check:easter-epact]") {
    for (int year = 1583; year <= 4099; ++year) {
        INFO(year);
        REQUIRE(easter_sunday(year) == easter_by_epact(year));
    }
}

// easter-date.com, justcalendar.org, whenisdate.com.
TEST_CASE("Easter falls as printed, 2024 to 2032", "[check:easter-table]") {
    const std::array printed{2024_y / mar / 31, 2025_y / apr / 20, 2026_y / apr / 5,
                             2027_y / mar / 28, 2028_y / apr / 16, 2029_y / apr / 1,
                             2030_y / apr / 21, 2031_y / apr / 13, 2032_y / mar / 28};
    for (const CivilDate day : printed) CHECK(easter_sunday(int{day.year()}) == day);
}

// April 25, 2038: whenisdate.com; the other years of the two lists with python's dateutil. The bounds follow
// from the rule itself: the full moon lies from March 21 to April 18.
TEST_CASE("Easter is at its earliest on March 22 and at its latest on April 25", "[check:easter-extremes]") {
    std::vector<int> earliest;
    std::vector<int> latest;
    for (int year = 1583; year <= 4099; ++year) {
        const CivilDate day = easter_sunday(year);
        REQUIRE(date::year{year} / mar / 22 <= day);
        REQUIRE(day <= date::year{year} / apr / 25);
        if (year < 2300 && day == date::year{year} / mar / 22) earliest.push_back(year);
        if (year < 2300 && day == date::year{year} / apr / 25) latest.push_back(year);
    }
    CHECK(earliest == std::vector{1598, 1693, 1761, 1818, 2285});
    CHECK(latest == std::vector{1666, 1734, 1886, 1943, 2038, 2190, 2258});
}
