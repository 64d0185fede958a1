// Holidays by rule: which dates a tariff treats as holidays, with the weekend moved as the tariff says.
//
// Values only; safe to read from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/time/instant.hpp"

namespace lullwatt {

// What becomes of a holiday that falls on a Saturday or Sunday. It is kept on one day only, the observed one:
// once moved, the Saturday or Sunday is an ordinary weekend day again (so the published lists: Ontario 2027
// names Dec 27 and 28 but not 25 and 26). A tariff that keeps both days lists the holiday twice, once
// `as_is`.
enum class Observance : std::uint8_t {
    as_is,             // never moved
    nearest_weekday,   // Saturday to the Friday before, Sunday to the Monday after (US federal; APS)
    sunday_to_monday,  // Saturday stays a holiday, Sunday to the Monday after (NERC off-peak days)
    sunday_to_monday_drop_saturday,  // on a Saturday not kept at all, Sunday to the Monday after (PG&E time
                                     // of use)
    next_free_weekday,  // to the next weekday that is no holiday itself, in order of date: Christmas on
                        // Saturday and Boxing Day on Sunday give Monday and Tuesday (Ontario)
};

// The same day every year. February 29 falls in leap years only.
struct FixedDate {
    date::month_day day;
};

// The n-th of a month counted from its beginning (1 to 5) or its end (−1 = last); a fifth does not always
// fall.
struct NthWeekday {
    date::month month;
    date::weekday weekday;
    int n = 1;
};

// The weekday nearest to a date on one side of it, that date included: Victoria Day is the Monday on or
// before May 24, the day after US Thanksgiving the Friday on or after November 23.
struct WeekdayNear {
    enum class Side : std::uint8_t { on_or_before, on_or_after };
    date::weekday weekday;
    Side side = Side::on_or_before;
    date::month_day day;  // not February 29
};

// Days from Easter Sunday: Good Friday −2, Easter Monday +1. Falls in the years of easter_sunday only.
struct EasterOffset {
    date::days after;
};

// One date as a utility printed it. The calendar's observance leaves it alone; only the rule's own moves it.
struct ListedDate {
    CivilDate date;
};

struct HolidayRule {
    std::string name;
    std::variant<FixedDate, NthWeekday, WeekdayNear, EasterOffset, ListedDate> when;
    std::optional<Observance> observance = {};  // instead of the calendar's
    bool only_if_weekday = false;               // an eve: kept Monday to Friday, else neither moved nor kept
    std::optional<int> first_year = {};         // years of the holiday itself, not of the day it is observed
    std::optional<int> last_year = {};
};

// Nothing but rules that can fall: existing months, days and weekdays, n from −5 to 5 without 0, first ≤ last
// year.
[[nodiscard]] bool well_formed(const HolidayRule& rule);

// A holiday as it falls and as it is kept.
struct ObservedHoliday {
    CivilDate observed;
    CivilDate actual;
    std::string name;
    friend bool operator==(const ObservedHoliday&, const ObservedHoliday&) = default;
};

class HolidayCalendar {
  public:
    HolidayCalendar() = default;  // no holidays

    // REQUIRES: every rule well_formed.
    HolidayCalendar(std::vector<HolidayRule> rules, Observance observance);

    // No rule at all: no date is a holiday.
    [[nodiscard]] bool empty() const { return rules_.empty(); }

    // The name of the holiday kept on `date`; of two, the one listed first. Lays out three years each time: a
    // question for once a day, not for every slot.
    [[nodiscard]] std::optional<std::string> holiday(CivilDate date) const;

    // All kept on a date of `year`, ascending, then as listed. New Year's Day of the next year may be among
    // them (2027-12-31 under nearest_weekday), this year's may not. REQUIRES: −32,000 ≤ year ≤ 32,000.
    [[nodiscard]] std::vector<ObservedHoliday> in_year(int year) const;

  private:
    struct Kept;
    [[nodiscard]] std::vector<Kept> kept_in(date::year year) const;

    std::vector<HolidayRule> rules_;
    Observance observance_ = Observance::as_is;
};

// Easter Sunday of the Gregorian calendar, by the anonymous algorithm (w3.org/2000/10/swap/test/easter).
// REQUIRES: 1583 <= year <= 4099.
[[nodiscard]] CivilDate easter_sunday(int year);

}  // namespace lullwatt
