#include "core/site/forecast.hpp"

#include "support/catch.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace lullwatt::site;
using namespace std::chrono_literals;
using tests::halifax;
using tests::no_holiday;
using tests::row;
using tests::utc;

namespace {

const LegSplit kTwoLegs{{Leg::L1, Leg::L2}, Volts(120)};

LegAmps amps(double l1, double l2) { return {Amps(l1), Amps(l2), Amps(0)}; }

// 03:00 by Halifax's clock, on a day named by its midnight in UTC.
Instant three_o_clock(Instant day) { return halifax().instant(CivilTime{day.time_since_epoch()} + 3h); }

// One reading of an hour from 03:00 on each of `count` days, of 120 Wh (1 A) on L1
// the first day, 240 Wh the second and so on; L2 stays at 600 Wh (5 A).
MeterHistory ascending(Instant first_day, int count) {
    MeterHistory history{"house", {Leg::L1, Leg::L2}, {}};
    for (int day = 0; day < count; ++day) {
        history.rows.push_back(row(three_o_clock(first_day + date::days{day}), 1h, {120 * (day + 1), 600}));
    }
    return history;
}

LegAmps at_three(const MeterHistory& history, Instant day, const IsHoliday& is_holiday = no_holiday,
                 ForecastOptions options = {}) {
    const auto load = HistoryLoad::from(history, kTwoLegs, halifax(), is_holiday, options);
    return forecast(*load, {three_o_clock(day), three_o_clock(day) + 15min}, halifax(), is_holiday)
        .front()
        .amps;
}

}  // namespace

TEST_CASE("the quantile is by nearest rank, per leg, over days of the same kind") {
    // Monday 2026-01-05 and 27 days after it: 20 weekdays, of which the 19th is the 25th day, a Thursday.
    const MeterHistory history = ascending(utc(2026, 1, 5), 28);
    CHECK(at_three(history, utc(2026, 1, 14)) == amps(25, 5));
    SECTION("weekends are their own: of 8 days the greatest") {
        CHECK(at_three(history, utc(2026, 1, 17), no_holiday, {.fewest_samples = 8}) == amps(28, 5));
    }
    SECTION("the median of 20 is the 10th") {
        CHECK(at_three(history, utc(2026, 1, 14), no_holiday, {.quantile = 0.5}) == amps(12, 5));
    }
    SECTION("a holiday goes with the weekend") {
        const auto last_friday = [](CivilDate date) { return date == CivilDate{date::year{2026} / 1 / 30}; };
        CHECK(at_three(history, utc(2026, 1, 14), last_friday, {.quantile = 1.0}) == amps(25, 5));
        CHECK(at_three(history, utc(2026, 1, 30), last_friday, {.quantile = 1.0}) == amps(28, 5));
    }
}

TEST_CASE("a season is the same days of any year, and grows while it holds too few") {
    MeterHistory history = ascending(utc(2025, 1, 6), 26);  // 20 weekdays to 2025-01-31, up to 26 A
    for (HistoryRow summer : ascending(utc(2025, 7, 7), 26).rows) {
        summer.energy[0] = WattHours(120 * 90);  // 90 A
        history.rows.push_back(summer);
    }
    CHECK(at_three(history, utc(2026, 1, 14)) == amps(25, 5));
    CHECK(at_three(history, utc(2026, 7, 14)) == amps(90, 5));
    SECTION("with ten samples asked for in April, the winter's come in before the summer's") {
        // 04-15: ±28 days hold none, ±56 none, ±112 both seasons.
        CHECK(at_three(history, utc(2026, 4, 15), no_holiday, {.quantile = 0.5}) == amps(26, 5));
    }
    SECTION("too few in the whole year: the other kind of day comes in") {
        CHECK(at_three(history, utc(2026, 1, 14), no_holiday, {.quantile = 0.01, .fewest_samples = 1000}) ==
              amps(1, 5));
    }
}

TEST_CASE("readings are averaged to the quarter hour and spread over theirs") {
    MeterHistory history{"house", {Leg::L1, Leg::L2}, {}};
    const Instant noon = utc(2026, 1, 14, 16h);
    SECTION("finer ones") {
        for (int minute = 0; minute < 15; ++minute) {
            history.rows.push_back(row(noon + std::chrono::minutes{minute}, 1min, {minute == 3 ? 30 : 0, 2}));
        }
        const auto load = HistoryLoad::from(history, kTwoLegs, halifax(), no_holiday);
        const auto pieces = forecast(*load, {noon, noon + 15min}, halifax(), no_holiday);
        REQUIRE(pieces.size() == 1);
        CHECK(pieces[0].amps[0].count() == Approx(1.0));  // 30 Wh in a quarter hour at 120 V
        CHECK(pieces[0].amps[1].count() == Approx(1.0));
    }
    SECTION("an hour's") {
        history.rows = {row(noon, 1h, {1200, 120})};
        const auto load = HistoryLoad::from(history, kTwoLegs, halifax(), no_holiday);
        const auto pieces = forecast(*load, {noon + 5min, noon + 1h}, halifax(), no_holiday);
        REQUIRE(pieces.size() == 4);
        CHECK(pieces[0].when == Interval{noon + 5min, noon + 15min});
        for (const LoadPiece& piece : pieces) CHECK(piece.amps == amps(10, 1));
    }
    SECTION("one longer than an hour says nothing of the time of day") {
        history.rows = {row(noon, 2h, {1200, 120})};
        CHECK_FALSE(HistoryLoad::from(history, kTwoLegs, halifax(), no_holiday).has_value());
    }
    SECTION("a quarter hour less than half covered is left out") {
        history.rows = {row(noon, 7min, {100, 100})};
        CHECK_FALSE(HistoryLoad::from(history, kTwoLegs, halifax(), no_holiday).has_value());
    }
}

TEST_CASE("a total is put on every leg by the worst leg's share") {
    CHECK(leg_amps(Watts(2400), kTwoLegs) == amps(13, 13));  // 2,400 W × 0.65 / 120 V
    CHECK(leg_amps(Watts(2300), {{Leg::L1}, Volts(230)}) == amps(10, 0));
    CHECK(leg_amps(Watts(-500), kTwoLegs) == amps(0, 0));
    SECTION("per leg where the meter tells them apart, export counting 0") {
        const HistoryRow reading = row(utc(2026, 1, 1), 15min, {300, -300});
        CHECK(mean_amps(reading, {Leg::L1, Leg::L2}, kTwoLegs) == amps(10, 0));
    }
}

TEST_CASE("a profile holds by the clock's labels, also on the nights it changes") {
    const LoadProfile profile{{{0min, amps(4, 4)}, {90min, amps(6, 6)}},
                              {{0min, amps(1, 1)}, {90min, amps(2, 2)}}};
    SECTION("a weekday's steps, cut to the span") {
        const Instant midnight = utc(2026, 1, 14, 4h);
        const auto pieces = forecast(profile, {midnight + 1h, midnight + 2h}, halifax(), no_holiday);
        REQUIRE(pieces.size() == 2);
        CHECK(pieces[0].when.end == midnight + 90min);
        CHECK(pieces[0].amps == amps(4, 4));
        CHECK(pieces[1].amps == amps(6, 6));
    }
    SECTION("on the long Sunday 01:30 comes twice") {
        const Instant midnight = utc(2026, 11, 1, 3h);
        const auto pieces = forecast(profile, {midnight, midnight + 3h}, halifax(), no_holiday);
        REQUIRE(pieces.size() == 4);
        CHECK(pieces[0].when.length() == 90min);
        CHECK(pieces[1].when.length() == 30min);
        CHECK(pieces[1].amps == amps(2, 2));
        CHECK(pieces[2].when.length() == 30min);
        CHECK(pieces[2].amps == amps(1, 1));
        CHECK(pieces[3].amps == amps(2, 2));
    }
}

TEST_CASE("a constant is one piece") {
    const Interval span{utc(2026, 1, 1), utc(2026, 1, 2)};
    const auto pieces = forecast(ConstantLoad{amps(7, 8)}, span, halifax(), no_holiday);
    REQUIRE(pieces.size() == 1);
    CHECK(pieces[0].when == span);
    CHECK(pieces[0].amps == amps(7, 8));
}
