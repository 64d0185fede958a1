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
#include "core/time/holidays.hpp"
#include "core/time/season.hpp"

namespace lullwatt::tariff {

// Kinds of days. A holiday is no weekday and no weekend: it matches only where `holidays` is set.
struct DaySet {
    std::array<bool, 7> weekdays{};  // Sunday first, as date::weekday counts
    bool holidays = false;

    [[nodiscard]] static DaySet every_day() { return {{true, true, true, true, true, true, true}, true}; }
    friend bool operator==(const DaySet&, const DaySet&) = default;
};

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
};

// A price per kilowatt-hour on top of every window's: a rider, a levy, a network part. May be negative.
struct Adder {
    std::string name;
    Rate rate;
};

// A tax in millionths: 14 % is 140,000. Each of several is taken on the untaxed sum.
struct Tax {
    std::string name;
    std::int64_t millionths = 0;
};

// What holds from a date on, until the next revision or its own last day. Of windows that hold an instant the
// first one counts.
struct Revision {
    CivilDate from;  // by the tariff's clock
    std::vector<Window> windows;
    std::vector<Adder> adders;
    std::vector<Tax> taxes;
    std::optional<CivilDate> to = {};  // its last day, where one is known
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

struct SiteClock {};
using Clock = std::variant<SiteClock, std::string, Seconds>;  // the site's, a named zone's, or a fixed offset

struct Tariff {
    std::string name;
    std::string currency;
    Clock clock;
    Seconds day_start{0};  // a label earlier in the day still belongs to the day before
    std::vector<NamedSeason> seasons;
    HolidayCalendar holidays;
    std::vector<Revision> revisions;  // ascending by `from`
    std::vector<Override> overrides;
    std::optional<Announced> announced;  // then revisions carry adders and taxes, and no windows
};

}  // namespace lullwatt::tariff
