#include "core/time/holidays.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace date::literals;

namespace {

using Dates = std::vector<CivilDate>;

HolidayRule fixed(std::string name, date::month_day day) { return {std::move(name), FixedDate{day}}; }

Dates kept(const HolidayCalendar& calendar, int year) {
    Dates dates;
    for (const auto& holiday : calendar.in_year(year)) dates.push_back(holiday.observed);
    return dates;
}

Dates kept(const HolidayRule& rule, int year, Observance observance = Observance::as_is) {
    return kept(HolidayCalendar({rule}, observance), year);
}

}  // namespace

TEST_CASE("a holiday falls where its rule says") {
    SECTION("a fixed date") { CHECK(kept(fixed("", jul / 1), 2027) == Dates{2027_y / jul / 1}); }
    SECTION("February 29 in leap years only") {
        CHECK(kept(fixed("", feb / 29), 2028) == Dates{2028_y / feb / 29});
        CHECK(kept(fixed("", feb / 29), 2027).empty());
    }
    SECTION("the n-th weekday of a month") {
        CHECK(kept({"", NthWeekday{feb, mon, 3}}, 2026) == Dates{2026_y / feb / 16});
        CHECK(kept({"", NthWeekday{feb, sun, 1}}, 2026) == Dates{2026_y / feb / 1});
    }
    SECTION("the fifth only where there is one") {
        CHECK(kept({"", NthWeekday{mar, mon, 5}}, 2026) == Dates{2026_y / mar / 30});
        CHECK(kept({"", NthWeekday{apr, mon, 5}}, 2026).empty());
    }
    SECTION("counted from the end of the month") {
        CHECK(kept({"", NthWeekday{may, mon, -1}}, 2026) == Dates{2026_y / may / 25});
        CHECK(kept({"", NthWeekday{may, mon, -2}}, 2026) == Dates{2026_y / may / 18});
        CHECK(kept({"", NthWeekday{mar, mon, -5}}, 2026) == Dates{2026_y / mar / 2});
        CHECK(kept({"", NthWeekday{apr, mon, -5}}, 2026).empty());
    }
    SECTION("the weekday on or before a date, that date included") {
        const HolidayRule victoria{"", WeekdayNear{mon, WeekdayNear::Side::on_or_before, may / 24}};
        CHECK(kept(victoria, 2027) == Dates{2027_y / may / 24});
        CHECK(kept(victoria, 2026) == Dates{2026_y / may / 18});
    }
    SECTION("the weekday on or after a date, that date included") {
        const HolidayRule election{"", WeekdayNear{tue, WeekdayNear::Side::on_or_after, nov / 2}};
        CHECK(kept(election, 2027) == Dates{2027_y / nov / 2});
        CHECK(kept(election, 2026) == Dates{2026_y / nov / 3});
    }
    SECTION("the day after Thanksgiving, which is not always the fourth Friday") {
        const HolidayRule after{"", WeekdayNear{fri, WeekdayNear::Side::on_or_after, nov / 23}};
        CHECK(kept(after, 2024) == Dates{2024_y / nov / 29});  // the fifth Friday
        CHECK(kept(after, 2026) == Dates{2026_y / nov / 27});
    }
    SECTION("days from Easter") {
        CHECK(kept({"", EasterOffset{date::days{-2}}}, 2026) == Dates{2026_y / apr / 3});
        CHECK(kept({"", EasterOffset{date::days{39}}}, 2026) == Dates{2026_y / may / 14});
    }
    SECTION("no Easter is computed outside 1583 to 4099") {
        CHECK(kept({"", EasterOffset{date::days{0}}}, 1582).empty());
        CHECK(kept({"", EasterOffset{date::days{0}}}, 1583).size() == 1);
        CHECK(kept({"", EasterOffset{date::days{0}}}, 4099).size() == 1);
        CHECK(kept({"", EasterOffset{date::days{0}}}, 4100).empty());
    }
    SECTION("one listed date") {
        CHECK(kept({"", ListedDate{2026_y / sep / 21}}, 2026) == Dates{2026_y / sep / 21});
        CHECK(kept({"", ListedDate{2026_y / sep / 21}}, 2027).empty());
    }
}

// July 4 falls on a Saturday in 2026, on a Sunday in 2027, on a Tuesday in 2028.
TEST_CASE("each observance moves the weekend in its own way and weekdays never") {
    struct Case {
        Observance observance;
        Dates saturday;
        Dates sunday;
    };
    const auto expected =
        GENERATE(Case{Observance::as_is, {2026_y / jul / 4}, {2027_y / jul / 4}},
                 Case{Observance::nearest_weekday, {2026_y / jul / 3}, {2027_y / jul / 5}},
                 Case{Observance::sunday_to_monday, {2026_y / jul / 4}, {2027_y / jul / 5}},
                 Case{Observance::sunday_to_monday_drop_saturday, {}, {2027_y / jul / 5}},
                 Case{Observance::next_free_weekday, {2026_y / jul / 6}, {2027_y / jul / 5}});
    const HolidayRule rule = fixed("Independence Day", jul / 4);
    CHECK(kept(rule, 2026, expected.observance) == expected.saturday);
    CHECK(kept(rule, 2027, expected.observance) == expected.sunday);
    CHECK(kept(rule, 2028, expected.observance) == Dates{2028_y / jul / 4});
}

TEST_CASE("a moved holiday is kept on its observed day only") {
    const HolidayCalendar calendar({fixed("Independence Day", jul / 4)}, Observance::nearest_weekday);
    CHECK(calendar.holiday(2026_y / jul / 3) == "Independence Day");
    CHECK(calendar.holiday(2026_y / jul / 4) == std::nullopt);
    SECTION("unless it is listed twice") {
        HolidayRule itself = fixed("Independence Day", jul / 4);
        itself.observance = Observance::as_is;
        const HolidayCalendar both({fixed("Independence Day, observed", jul / 4), itself},
                                   Observance::nearest_weekday);
        CHECK(both.holiday(2026_y / jul / 3) == "Independence Day, observed");
        CHECK(both.holiday(2026_y / jul / 4) == "Independence Day");
    }
}

TEST_CASE("a holiday may be kept in the year before or after its own") {
    SECTION("New Year's Day 2028, a Saturday, on the Friday before") {
        const HolidayCalendar calendar({fixed("New Year's Day", jan / 1)}, Observance::nearest_weekday);
        CHECK(kept(calendar, 2027) == Dates{2027_y / jan / 1, 2027_y / dec / 31});
        CHECK(kept(calendar, 2028).empty());
        CHECK(calendar.holiday(2027_y / dec / 31) == "New Year's Day");
        CHECK(calendar.in_year(2027).back().actual == 2028_y / jan / 1);
    }
    SECTION("New Year's Eve 2022, a Saturday, behind New Year's Day, a Sunday") {
        const HolidayCalendar calendar({fixed("New Year's Day", jan / 1), fixed("New Year's Eve", dec / 31)},
                                       Observance::next_free_weekday);
        CHECK(calendar.holiday(2023_y / jan / 2) == "New Year's Eve");
        CHECK(calendar.holiday(2023_y / jan / 3) == "New Year's Day");
    }
}

TEST_CASE("the next free weekday passes over every other holiday") {
    SECTION("two on one weekend keep their order, however they are listed") {
        const HolidayCalendar calendar({fixed("Boxing Day", dec / 26), fixed("Christmas Day", dec / 25)},
                                       Observance::next_free_weekday);
        CHECK(calendar.holiday(2027_y / dec / 27) == "Christmas Day");
        CHECK(calendar.holiday(2027_y / dec / 28) == "Boxing Day");
    }
    SECTION("Christmas on Sunday, Boxing Day on Monday: Tuesday") {
        const HolidayCalendar calendar({fixed("Christmas Day", dec / 25), fixed("Boxing Day", dec / 26)},
                                       Observance::next_free_weekday);
        CHECK(calendar.holiday(2022_y / dec / 26) == "Boxing Day");
        CHECK(calendar.holiday(2022_y / dec / 27) == "Christmas Day");
    }
    SECTION("one kept there by another observance") {
        HolidayRule saturday = fixed("Saturday's", jul / 4);
        HolidayRule sunday = fixed("Sunday's", jul / 5);
        sunday.observance = Observance::sunday_to_monday;
        const HolidayCalendar calendar({saturday, sunday}, Observance::next_free_weekday);
        CHECK(calendar.holiday(2026_y / jul / 6) == "Sunday's");
        CHECK(calendar.holiday(2026_y / jul / 7) == "Saturday's");
    }
}

// December 24 falls on a Thursday in 2026, a Friday in 2027, a Sunday in 2028.
TEST_CASE("an eve is kept on weekdays only and never moves") {
    HolidayRule eve = fixed("Christmas Eve", dec / 24);
    eve.only_if_weekday = true;
    CHECK(kept(eve, 2026, Observance::nearest_weekday) == Dates{2026_y / dec / 24});
    CHECK(kept(eve, 2027, Observance::nearest_weekday) == Dates{2027_y / dec / 24});
    CHECK(kept(eve, 2028, Observance::nearest_weekday).empty());
    CHECK(kept(eve, 2028, Observance::as_is).empty());
}

TEST_CASE("a rule's own observance stands above the calendar's") {
    HolidayRule rule = fixed("Independence Day", jul / 4);
    rule.observance = Observance::sunday_to_monday;
    CHECK(kept(rule, 2026, Observance::nearest_weekday) == Dates{2026_y / jul / 4});
}

TEST_CASE("a listed date stays where it was printed unless its own rule moves it") {
    HolidayRule listed{"Day of mourning", ListedDate{2026_y / jul / 4}};
    CHECK(kept(listed, 2026, Observance::nearest_weekday) == Dates{2026_y / jul / 4});
    listed.observance = Observance::nearest_weekday;
    CHECK(kept(listed, 2026) == Dates{2026_y / jul / 3});
}

TEST_CASE("a holiday is kept in its years only, counted by the day it falls on") {
    HolidayRule rule = fixed("New Year's Day", jan / 1);
    rule.first_year = 2028;
    rule.last_year = 2029;
    CHECK(kept(rule, 2027, Observance::nearest_weekday) == Dates{2027_y / dec / 31});
    CHECK(kept(rule, 2028, Observance::nearest_weekday).empty());
    CHECK(kept(rule, 2029, Observance::nearest_weekday) == Dates{2029_y / jan / 1});
    CHECK(kept(rule, 2030, Observance::nearest_weekday).empty());
}

TEST_CASE("of two holidays on one day the one listed first gives the name, and both are listed") {
    HolidayRule eve = fixed("Christmas Eve", dec / 24);
    eve.only_if_weekday = true;
    const HolidayCalendar calendar({fixed("Christmas Day", dec / 25), eve}, Observance::nearest_weekday);
    CHECK(calendar.holiday(2027_y / dec / 24) == "Christmas Day");
    CHECK(calendar.in_year(2027) ==
          std::vector<ObservedHoliday>{{2027_y / dec / 24, 2027_y / dec / 25, "Christmas Day"},
                                       {2027_y / dec / 24, 2027_y / dec / 24, "Christmas Eve"}});
}

TEST_CASE("a calendar without rules has no holidays") {
    CHECK(HolidayCalendar().holiday(2026_y / dec / 25) == std::nullopt);
    CHECK(HolidayCalendar().in_year(2026).empty());
}

TEST_CASE("rules that cannot fall are not well formed") {
    CHECK(well_formed(fixed("", feb / 29)));
    CHECK_FALSE(well_formed(fixed("", feb / 30)));
    CHECK_FALSE(well_formed({"", NthWeekday{feb, mon, 0}}));
    CHECK_FALSE(well_formed({"", NthWeekday{feb, mon, 6}}));
    CHECK_FALSE(well_formed({"", NthWeekday{feb, mon, -6}}));
    CHECK_FALSE(well_formed({"", NthWeekday{date::month{13}, mon, 1}}));
    CHECK_FALSE(well_formed({"", WeekdayNear{mon, WeekdayNear::Side::on_or_after, feb / 29}}));
    CHECK_FALSE(well_formed({"", ListedDate{2027_y / feb / 29}}));
    HolidayRule never = fixed("", jan / 1);
    never.first_year = 2030;
    never.last_year = 2029;
    CHECK_FALSE(well_formed(never));
}
