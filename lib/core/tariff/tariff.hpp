// A tariff's energy prices: which window an instant falls into and what its kilowatt-hours cost.
//
// Plain values, built by io/tariff_file and by tests; safe to read from any thread.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/quantity/money.hpp"
#include "core/tariff/bill_dates.hpp"
#include "core/tariff/charges.hpp"
#include "core/time/holidays.hpp"
#include "core/time/season.hpp"

namespace lullwatt::tariff {

// Which day's kind and season count for the part of a window after midnight.
enum class PastMidnight : std::uint8_t {
    own_day,     // each instant by its own wall-clock date
    day_before,  // the day the window began on: "Friday night" runs into Saturday
};

// Hours of a day with a price. `to` at or before `from` runs across midnight.
struct Window {
    std::string name;
    std::vector<std::size_t> seasons;  // indices into Tariff::seasons; empty: all year
    DaySet days = DaySet::every_day();
    Seconds from{0};    // of the day by the tariff's clock, below 24 h
    Seconds to{86400};  // up to 24 h
    Rate rate;
    PastMidnight past_midnight = PastMidnight::own_day;
    std::vector<std::size_t> classes = {};  // indices into DayClasses::names; empty: whatever the day's class
    std::optional<Rate> export_rate = {};   // of energy given back in these hours
    std::int64_t loss_factor = kWhole;
};

// What holds from a date on, until the next revision or its own last day. Of windows that hold an instant the
// first one counts.
struct Revision {
    CivilDate from;  // by the tariff's clock
    std::vector<Window> windows;
    std::vector<Adder> adders;
    std::vector<Percentage> taxes;
    std::optional<CivilDate> to = {};  // its last day, where one is known
    std::vector<BlockCharge> blocks = {};
    std::vector<DemandCharge> demand = {};
    std::vector<FixedCharge> fixed = {};
    std::vector<MinimumBill> minimums = {};
    std::vector<Percentage> riders = {};
    std::optional<Export> exported = {};
};

struct NamedSeason {
    std::string name;
    Season days;
};

// All hours of some days at one price, as a regulator may order.
struct Override {
    CivilDate from;
    CivilDate to;  // its last day
    std::string name;
    std::optional<Rate> rate = {};  // empty: that of the window of this name in the day's season
};

// Prices announced hour by hour, read from a file. Where none is known, `fallback` under the name "assumed".
struct AnnouncedPrice {
    Interval when;
    Rate rate;
};
struct Announced {
    std::vector<AnnouncedPrice> prices;  // ascending, without overlaps
    Rate fallback;
};

// Days the utility puts in a class the day before, such as "red" or "event". A day nobody has announced is of
// the class `assumed`.
struct DayClasses {
    struct Announcement {
        CivilDate date;
        std::size_t day_class = 0;
    };
    struct Most {
        std::size_t day_class = 0;
        int days = 0;  // in a year that begins on `year_begins`
    };
    std::vector<std::string> names;
    std::size_t assumed = 0;
    date::month_day year_begins = date::month{1} / 1;
    std::vector<Most> most;
    std::vector<Announcement> announced;  // ascending, each date once
};

// Which date decides on the revision or the season of a bill's days.
enum class DatedBy : std::uint8_t { day, bill_begin, bill_end };

// How a month's amounts and limits become a bill's.
struct Proration {
    enum class Month : std::uint8_t {
        bill,          // every bill is one month, or as many as its contract says
        thirty_days,   // days / 30
        mean_month,    // days / (365 / 12)
        calendar,      // each calendar month by its own days
        whole_months,  // the nearest number of mean months, at least one
    };
    Month month = Month::bill;
    std::optional<int> whole_from = {};  // a bill of n × whole_from to n × whole_to days is n months
    std::optional<int> whole_to = {};
};

enum class LineRounding : std::uint8_t { nearest, down, exact };

struct BillRounding {
    LineRounding lines = LineRounding::nearest;  // to the minor unit; exact: to 1e-6
    LineRounding total = LineRounding::nearest;
    Money total_step{0};       // such as 0.05; 0: the minor unit
    MilliwattHours energy{0};  // each line's energy to the nearest multiple, halves up; 0: not
};

// A meter that changes its clock by a rule of its own, such as one that was law before: an hour ahead from
// two o'clock on the first of these days to two o'clock on the second, of every year.
struct SummerTime {
    Seconds offset;
    NthWeekday begins;
    NthWeekday ends;
};

struct SiteClock {};
// The site's, a named zone's, a fixed offset, or a rule of its own.
using Clock = std::variant<SiteClock, std::string, Seconds, SummerTime>;

struct Tariff {
    std::string name;
    std::string currency;
    Clock clock;
    // From a date's midnight to the begin of its day, from −12 h (the noon before) to 12 h: labels before it
    // still belong to the day before, and below nothing the evening belongs to the next day.
    Seconds day_start{0};
    std::vector<NamedSeason> seasons;
    HolidayCalendar holidays;
    std::vector<Revision> revisions;  // ascending by `from`
    std::vector<Override> overrides;
    std::optional<Announced> announced;  // then revisions carry adders and taxes, and no windows
    std::optional<DayClasses> classes = {};
    BillDates bills = {};  // those of the contract, where the file's seasons or prices go by bills
    DatedBy revisions_by = DatedBy::day;
    DatedBy seasons_by = DatedBy::day;
    Proration proration = {};
    BillRounding rounding = {};
    bool usage_by_days = false;  // across a change of prices energy is split by days, not by its intervals
};

}  // namespace lullwatt::tariff
