// When a contract's bills begin and end.
//
// Plain values; safe to read from any thread.
#pragma once

#include <vector>

#include "core/time/instant.hpp"

namespace lullwatt::tariff {

// Days of a bill: from one reading's day to the next one's, which belongs to the next bill.
struct DateSpan {
    CivilDate from;
    CivilDate to;

    [[nodiscard]] int days() const {
        return static_cast<int>((date::sys_days{to} - date::sys_days{from}).count());
    }
    [[nodiscard]] bool contains(CivilDate date) const { return from <= date && date < to; }
    [[nodiscard]] CivilDate last() const { return CivilDate{date::sys_days{to} - date::days{1}}; }
    friend bool operator==(const DateSpan&, const DateSpan&) = default;
};

// Read on a day of each month (or of every second, counted from January), or on the days listed; before and
// after those, by the day of the month. A day that a month has not is its last.
struct BillDates {
    unsigned day = 1;
    int months = 1;                // 1, 2, 3, 4, 6 or 12
    unsigned first_month = 1;      // a month of the year in which one begins
    std::vector<CivilDate> reads;  // ascending
};

// Whether a day of every year lies in a span. REQUIRES: `day` is in every year.
[[nodiscard]] bool falls_in(date::month_day day, DateSpan span);

// The bill that holds `date`.
[[nodiscard]] DateSpan bill_of(const BillDates& bills, CivilDate date);

// The bills that begin before `to` and end after `from`, ascending.
[[nodiscard]] std::vector<DateSpan> bills_in(const BillDates& bills, DateSpan span);

}  // namespace lullwatt::tariff
