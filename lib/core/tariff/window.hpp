// Which window of a revision holds a time of a day.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "core/tariff/tariff.hpp"

namespace lullwatt::tariff {

inline constexpr Seconds kDay{86400};  // of labels: a civil day that no change of clocks cuts

// A kind of day as windows see it.
struct DayKind {
    std::optional<std::size_t> season;  // empty where the tariff has none
    unsigned weekday = 0;               // 0 is Sunday
    bool holiday = false;
    std::optional<std::size_t> day_class = {};  // empty where the tariff has none
    friend auto operator<=>(const DayKind&, const DayKind&) = default;
};

// A day with the one before it, whose windows may run into it.
struct TwoDays {
    DayKind before;
    DayKind day;
    friend auto operator<=>(const TwoDays&, const TwoDays&) = default;
};

[[nodiscard]] DayKind day_kind(const Tariff& tariff, CivilDate date);

// The date that decides where a rule goes by bills.
[[nodiscard]] CivilDate deciding_date(const Tariff& tariff, CivilDate date, DatedBy rule);

// An index into Tariff::seasons, or none.
[[nodiscard]] std::optional<std::size_t> season_of(const Tariff& tariff, CivilDate date);

// The revision in force, or null.
[[nodiscard]] const Revision* revision_of(const Tariff& tariff, CivilDate date);

// The same tariff with the prices of one day for all time: what a year like another would cost now. None: no
// revision is in force on that day.
[[nodiscard]] std::optional<Tariff> with_prices_of(const Tariff& tariff, CivilDate date);

// REQUIRES: the tariff has classes.
struct DayClass {
    std::size_t index = 0;
    bool assumed = false;
};
[[nodiscard]] DayClass day_class_of(const DayClasses& classes, CivilDate date);

// Whether a list of seasons holds one; an empty list holds all.
[[nodiscard]] bool holds_season(const std::vector<std::size_t>& seasons, std::optional<std::size_t> season);

// The tariff day a wall-clock label belongs to.
[[nodiscard]] CivilDate tariff_day(const Tariff& tariff, CivilTime label);

// The first window that holds a time of day on such a tariff day; none: not covered.
[[nodiscard]] const Window* window_at(const Tariff& tariff, const Revision& revision, const TwoDays& days,
                                      Seconds time_of_day);

// The first window of that name in the season of such a day, whatever its days and hours; or null.
[[nodiscard]] const Window* window_named(const Revision& revision, const DayKind& day, std::string_view name);

// Whether all windows of that name in such a season cost the same, so that its name is enough to price
// energy.
[[nodiscard]] bool has_one_price(const Revision& revision, std::optional<std::size_t> season,
                                 std::string_view name);

// Times of day at which the window or the day may change, ascending, from 00:00, without 24:00.
[[nodiscard]] std::vector<Seconds> edges(const Tariff& tariff, const Revision& revision);

}  // namespace lullwatt::tariff
