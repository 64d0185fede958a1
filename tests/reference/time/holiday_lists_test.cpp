// Holiday lists as they were printed, each against the rules of the body that printed it.
#include <set>

#include "core/time/holidays.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace date::literals;

namespace {

using Dates = std::vector<CivilDate>;

HolidayRule fixed(std::string name, date::month_day day) { return {std::move(name), FixedDate{day}}; }
HolidayRule nth(std::string name, date::month month, date::weekday weekday, int n) {
    return {std::move(name), NthWeekday{month, weekday, n}};
}

Dates kept(const HolidayCalendar& calendar, int year) {
    std::set<CivilDate> dates;
    for (const auto& holiday : calendar.in_year(year)) dates.insert(holiday.observed);
    return {dates.begin(), dates.end()};
}

// "01-01 02-17" as dates of `year`.
Dates of(int year, const std::string& text) {
    Dates dates;
    for (std::size_t at = 0; at < text.size(); at += 6) {
        dates.push_back(date::year{year} / std::stoi(text.substr(at, 2)) / std::stoi(text.substr(at + 3, 2)));
    }
    return dates;
}

HolidayCalendar ontario() {
    return {{fixed("New Year's Day", jan / 1),
             nth("Family Day", feb, mon, 3),
             {"Good Friday", EasterOffset{date::days{-2}}},
             {"Victoria Day", WeekdayNear{mon, WeekdayNear::Side::on_or_before, may / 24}},
             fixed("Canada Day", jul / 1),
             nth("Civic Holiday", aug, mon, 1),
             nth("Labour Day", sep, mon, 1),
             nth("Thanksgiving Day", oct, mon, 2),
             fixed("Christmas Day", dec / 25),
             fixed("Boxing Day", dec / 26)},
            Observance::next_free_weekday};
}

HolidayCalendar federal() {
    HolidayRule juneteenth = fixed("Juneteenth", jun / 19);
    juneteenth.first_year = 2021;
    return {{fixed("New Year's Day", jan / 1), nth("Birthday of Martin Luther King, Jr.", jan, mon, 3),
             nth("Washington's Birthday", feb, mon, 3), nth("Memorial Day", may, mon, -1), juneteenth,
             fixed("Independence Day", jul / 4), nth("Labor Day", sep, mon, 1),
             nth("Columbus Day", oct, mon, 2), fixed("Veterans Day", nov / 11),
             nth("Thanksgiving Day", nov, thu, 4), fixed("Christmas Day", dec / 25)},
            Observance::nearest_weekday};
}

HolidayCalendar nerc() {
    return {{fixed("New Year's Day", jan / 1), nth("Memorial Day", may, mon, -1),
             fixed("Independence Day", jul / 4), nth("Labor Day", sep, mon, 1),
             nth("Thanksgiving Day", nov, thu, 4), fixed("Christmas Day", dec / 25)},
            Observance::sunday_to_monday};
}

}  // namespace

// Rule: Ontario Regulation 95/05 as amended by O. Reg. 494/10 s. 1 (2), ontario.ca/laws/regulation/r10494.
// Lists of 2025 and 2026: calendar of the Ontario Electricity Financial Corporation,
// oefc.on.ca/ppa_schedule.html.
TEST_CASE("Ontario's off-peak holidays are those of the published calendar", "[check:ontario-holidays]") {
    CHECK(kept(ontario(), 2025) == of(2025, "01-01 02-17 04-18 05-19 07-01 08-04 09-01 10-13 12-25 12-26"));
    CHECK(kept(ontario(), 2026) == of(2026, "01-01 02-16 04-03 05-18 07-01 08-03 09-07 10-12 12-25 12-28"));
}

// The same rule laid out by hand for two years not printed yet, with both hard weekends.
TEST_CASE("Ontario's off-peak holidays of years to come follow the regulation",
          "[check:ontario-holidays-ahead]") {
    CHECK(kept(ontario(), 2027) == of(2027, "01-01 02-15 03-26 05-24 07-01 08-02 09-06 10-11 12-27 12-28"));
    CHECK(kept(ontario(), 2028) == of(2028, "01-03 02-21 04-14 05-22 07-03 08-07 09-04 10-09 12-25 12-26"));
}

// Same calendar, 2021, where both fall on one weekend and the regulation's text alone would give one Monday
// to both; and the 2017 list of regulated-price holidays, bluewaterpower.com.
TEST_CASE("Ontario moves a holiday past one that already has the day", "[check:ontario-moved]") {
    CHECK(ontario().holiday(2021_y / dec / 27) == "Christmas Day");
    CHECK(ontario().holiday(2021_y / dec / 28) == "Boxing Day");
    CHECK(ontario().holiday(2017_y / jan / 2) == "New Year's Day");
    CHECK(ontario().holiday(2017_y / jul / 3) == "Canada Day");
}

// Rule: 5 U.S.C. 6103 and Executive Order 11582, ca6.uscourts.gov/federal-holidays. Dates: table of generated
// holidays of r-cran-prophet (Debian 12), which lacks Juneteenth; that one by the rule.
TEST_CASE("US federal holidays are observed as the published table has them", "[check:us-federal-holidays]") {
    CHECK(kept(federal(), 2025) ==
          of(2025, "01-01 01-20 02-17 05-26 06-19 07-04 09-01 10-13 11-11 11-27 12-25"));
    CHECK(kept(federal(), 2026) ==
          of(2026, "01-01 01-19 02-16 05-25 06-19 07-03 09-07 10-12 11-11 11-26 12-25"));
    CHECK(kept(federal(), 2027) ==
          of(2027, "01-01 01-18 02-15 05-31 06-18 07-05 09-06 10-11 11-11 11-25 12-24 12-31"));
    CHECK(kept(federal(), 2028) == of(2028, "01-17 02-21 05-29 06-19 07-04 09-04 10-09 11-10 11-23 12-25"));
    CHECK(federal().holiday(2027_y / dec / 31) == "New Year's Day");
}

// North American Electric Reliability Corporation, additional off-peak days 2010-2015,
// docstoc.com/docs/52814626.
TEST_CASE("off-peak days of the reliability corporation are as printed", "[check:nerc-holidays]") {
    CHECK(kept(nerc(), 2010) == of(2010, "01-01 05-31 07-05 09-06 11-25 12-25"));
    CHECK(nerc().holiday(2011_y / jan / 1) == "New Year's Day");  // a Saturday, and it stays
    CHECK(nerc().holiday(2011_y / may / 30) == "Memorial Day");
}

// The stated rule of that list (Sunday to Monday, Saturday stays) laid out by hand.
TEST_CASE("off-peak days of the reliability corporation follow its rule", "[check:nerc-holidays-ahead]") {
    CHECK(kept(nerc(), 2025) == of(2025, "01-01 05-26 07-04 09-01 11-27 12-25"));
    CHECK(kept(nerc(), 2026) == of(2026, "01-01 05-25 07-04 09-07 11-26 12-25"));
    CHECK(kept(nerc(), 2027) == of(2027, "01-01 05-31 07-05 09-06 11-25 12-25"));
    CHECK(kept(nerc(), 2028) == of(2028, "01-01 05-29 07-04 09-04 11-23 12-25"));
}

// pge.com, tou-holidays.html: no weekday stands in for a holiday on Saturday, Monday does for one on Sunday.
TEST_CASE("a Saturday holiday without a substitute is kept on no weekday", "[check:no-saturday-substitute]") {
    const HolidayCalendar calendar({fixed("Independence Day", jul / 4), fixed("Veterans Day", nov / 11)},
                                   Observance::sunday_to_monday_drop_saturday);
    CHECK(kept(calendar, 2026) == of(2026, "11-11"));        // July 4 a Saturday
    CHECK(kept(calendar, 2027) == of(2027, "07-05 11-11"));  // July 4 a Sunday
    CHECK(kept(calendar, 2028) == of(2028, "07-04"));        // November 11 a Saturday
}

// qa.aps.com: ten holidays moved to the nearest weekday, two eves that count on weekdays only. December 24
// and 31 fall on a Sunday in 2028 and on a Monday in 2029.
TEST_CASE("eves count on weekdays only beside holidays that move", "[check:eves]") {
    HolidayRule christmas_eve = fixed("Christmas Eve", dec / 24);
    HolidayRule new_years_eve = fixed("New Year's Eve", dec / 31);
    christmas_eve.only_if_weekday = new_years_eve.only_if_weekday = true;
    const HolidayCalendar calendar({fixed("Independence Day", jul / 4), christmas_eve, new_years_eve},
                                   Observance::nearest_weekday);
    CHECK(kept(calendar, 2026) == of(2026, "07-03 12-24 12-31"));
    CHECK(kept(calendar, 2027) == of(2027, "07-05 12-24 12-31"));
    CHECK(kept(calendar, 2028) == of(2028, "07-04"));
    CHECK(kept(calendar, 2029) == of(2029, "07-04 12-24 12-31"));
}

// ontario.ca, as above ("the Monday preceding May 25"): from May 18 to May 24, both reached.
TEST_CASE("Victoria Day is the Monday before May 25 in every year", "[check:victoria-day]") {
    std::set<CivilDate> reached;
    const HolidayCalendar calendar(
        {{"Victoria Day", WeekdayNear{mon, WeekdayNear::Side::on_or_before, may / 24}}}, Observance::as_is);
    for (int year = 2000; year < 2400; ++year) {
        const Dates days = kept(calendar, year);
        REQUIRE(days.size() == 1);
        CHECK(date::weekday{date::sys_days{days.front()}} == mon);
        reached.insert(2000_y / days.front().month() / days.front().day());
    }
    CHECK(reached.size() == 7);
    CHECK(*reached.begin() == 2000_y / may / 18);
    CHECK(*reached.rbegin() == 2000_y / may / 24);
}
