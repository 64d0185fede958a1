// What was used in a bill's days, by price: readings cut at every change of price, or typed totals spread
// over the days.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/account/bill.hpp"

namespace lullwatt::account {

// Energy at one price of one revision and season.
struct WindowUse {
    std::size_t revision = 0;
    std::optional<std::size_t> season;
    std::string name;
    Rate rate;
    bool varies = false;  // prices announced hour by hour; `cost` has them
    std::optional<Rate> export_rate;
    std::int64_t loss_factor = tariff::kWhole;
    DateSpan days;  // from the first to the last on which it held
    MilliwattHours taken;
    MilliwattHours given;
    ExactAmount taken_cost;  // taken × rate
    ExactAmount given_cost;
};

struct DayUse {
    std::size_t window = 0;  // index into Use::windows
    CivilDate day;
    MilliwattHours taken;
    MilliwattHours given;
};

// Days of the bill under one revision.
struct Segment {
    std::size_t revision = 0;
    DateSpan days;
};

struct Use {
    std::vector<Segment> segments;  // tile the bill
    std::vector<WindowUse> windows;
    std::vector<DayUse> by_day;  // where a charge counts by days, ascending; each day and window once
    Seconds without_readings{0};
    bool assumed = false;
};

// The instants of a bill by the tariff's clock and day.
[[nodiscard]] Interval instants_of(const tariff::Tariff& tariff, const Zone& clock, DateSpan days);

// Days of a segment in one of these seasons; an empty list holds all.
[[nodiscard]] int days_in(const tariff::Tariff& tariff, DateSpan days,
                          const std::vector<std::size_t>& seasons);

// The time of `span` that no reading covers.
[[nodiscard]] Seconds uncovered(const EnergySeries& series, Interval span);

[[nodiscard]] std::variant<Use, Refusal> use_of(const tariff::Tariff& tariff, const Zone& clock,
                                                DateSpan days, const std::variant<Metered, Typed>& usage);

}  // namespace lullwatt::account
