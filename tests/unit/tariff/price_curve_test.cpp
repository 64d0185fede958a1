#include "core/tariff/price_curve.hpp"

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::tariff;
using namespace std::chrono_literals;
using date::sys_days;
using date::operator""_y;

namespace {

constexpr Rate rate(std::int64_t ten_thousandths) { return Rate(ten_thousandths * 100'000'000); }

// Halifax-like, around 2026: UTC−4, −3 from 2026-03-08T06:00Z to 2026-11-01T05:00Z.
Zone halifax() {
    return {"test/halifax",
            {{Instant{0s}, -4h, "AST"},
             {sys_days{2026_y / 3 / 8} + 6h, -3h, "ADT"},
             {sys_days{2026_y / 11 / 1} + 5h, -4h, "AST"}},
            {Instant{0s}, sys_days{2030_y / 1 / 1}}};
}

// `windows`, then "rest" for every other hour.
Tariff with_windows(std::vector<Window> windows) {
    windows.push_back({.name = "rest", .rate = rate(2000)});
    return {.name = "test", .currency = "CAD", .revisions = {{2000_y / 1 / 1, std::move(windows), {}, {}}}};
}

Window low(Seconds from, Seconds to, DaySet days = DaySet::every_day()) {
    return {.name = "low", .days = days, .from = from, .to = to, .rate = rate(1000)};
}

DaySet only(date::weekday weekday) {
    DaySet days;
    days.weekdays[weekday.c_encoding()] = true;
    return days;
}

PriceCurve curve(const Tariff& tariff, const Zone& clock, Interval span) {
    const auto priced = price_curve(tariff, clock, span);
    REQUIRE(std::holds_alternative<PriceCurve>(priced));
    return std::get<PriceCurve>(priced);
}

// Where the pieces of a name lie.
std::vector<Interval> named(const PriceCurve& pieces, std::string_view name) {
    std::vector<Interval> found;
    for (const PricePiece& piece : pieces) {
        if (piece.name == name) found.push_back(piece.when);
    }
    return found;
}

using Intervals = std::vector<Interval>;

}  // namespace

TEST_CASE("the first window of the file that holds an instant counts") {
    const Tariff tariff = with_windows({{.name = "noon", .from = 12h, .to = 13h, .rate = rate(1)},
                                        {.name = "day", .from = 7h, .to = 19h, .rate = rate(2)}});
    const Zone utc = Zone::fixed(0s);
    const auto pieces = curve(tariff, utc, {sys_days{2026_y / 6 / 1}, sys_days{2026_y / 6 / 2}});
    std::vector<std::string> names;
    for (const auto& piece : pieces) names.push_back(piece.name);
    CHECK(names == std::vector<std::string>{"rest", "day", "noon", "day", "rest"});
    CHECK(pieces[2].when == Interval{sys_days{2026_y / 6 / 1} + 12h, sys_days{2026_y / 6 / 1} + 13h});
}

TEST_CASE("after midnight a window's day is the instant's own, unless the window says the day before") {
    // 2026-06-05 is a Friday.
    const Instant friday = sys_days{2026_y / 6 / 5};
    const Interval weekend{friday, friday + 72h};
    Window night = low(22h, 6h, only(date::Friday));
    SECTION("its own day: Friday's two ends") {
        const auto pieces = curve(with_windows({night}), Zone::fixed(0s), weekend);
        CHECK(named(pieces, "low") == Intervals{{friday, friday + 6h}, {friday + 22h, friday + 24h}});
    }
    SECTION("the day before: one Friday night") {
        night.past_midnight = PastMidnight::day_before;
        const auto pieces = curve(with_windows({night}), Zone::fixed(0s), weekend);
        CHECK(named(pieces, "low") == Intervals{{friday + 22h, friday + 30h}});
    }
}

TEST_CASE("the day before counts with its holiday and its season") {
    Window night = low(22h, 6h);
    night.past_midnight = PastMidnight::day_before;
    const Instant eve = sys_days{2026_y / 4 / 30};
    SECTION("holiday") {
        night.days = {{}, true};
        Tariff tariff = with_windows({night});
        tariff.holidays = {{{.name = "Spring Day", .when = FixedDate{date::April / 30}}}, Observance::as_is};
        const auto pieces = curve(tariff, Zone::fixed(0s), {eve - 24h, eve + 48h});
        CHECK(named(pieces, "low") == Intervals{{eve + 22h, eve + 30h}});
    }
    SECTION("season") {
        night.seasons = {0};
        Tariff tariff = with_windows({night});
        tariff.seasons = {{"winter", {date::November / 1, date::April / 30}},
                          {"summer", {date::May / 1, date::October / 31}}};
        const auto pieces = curve(tariff, Zone::fixed(0s), {eve, eve + 48h});
        CHECK(named(pieces, "low") == Intervals{{eve, eve + 6h}, {eve + 22h, eve + 30h}});
    }
}

TEST_CASE("in the night of 25 hours a window that begins in the repeated hour is two pieces") {
    const Instant midnight = sys_days{2026_y / 11 / 1} + 3h;  // 00:00 by the clock, still three hours behind
    const Interval night{midnight, midnight + 25h};
    SECTION("01:30 to 06:00") {
        const auto pieces = curve(with_windows({low(1h + 30min, 6h)}), halifax(), night);
        CHECK(named(pieces, "low") ==
              Intervals{{midnight + 90min, midnight + 120min}, {midnight + 150min, midnight + 7h}});
    }
    SECTION("00:00 to 01:30") {
        const auto pieces = curve(with_windows({low(0h, 1h + 30min)}), halifax(), night);
        CHECK(named(pieces, "low") ==
              Intervals{{midnight, midnight + 90min}, {midnight + 120min, midnight + 150min}});
    }
    SECTION("23:00 to 02:30: outside the repeated hour, one piece") {
        const auto pieces = curve(with_windows({low(23h, 2h + 30min)}), halifax(), night);
        CHECK(named(pieces, "low").front() == Interval{midnight, midnight + 3h + 30min});
    }
}

TEST_CASE("in the night of 23 hours labels that do not exist cover nothing") {
    const Instant midnight = sys_days{2026_y / 3 / 8} + 4h;
    const Interval night{midnight, midnight + 23h};
    SECTION("01:30 to 06:00 is an hour shorter") {
        const auto pieces = curve(with_windows({low(1h + 30min, 6h)}), halifax(), night);
        CHECK(named(pieces, "low") == Intervals{{midnight + 90min, midnight + 5h}});
    }
    SECTION("02:30 to 06:00 begins at 03:00") {
        const auto pieces = curve(with_windows({low(2h + 30min, 6h)}), halifax(), night);
        CHECK(named(pieces, "low") == Intervals{{midnight + 2h, midnight + 5h}});
    }
    SECTION("00:00 to 02:30 ends at 02:00") {
        const auto pieces = curve(with_windows({low(0h, 2h + 30min)}), halifax(), night);
        CHECK(named(pieces, "low") == Intervals{{midnight, midnight + 2h}});
    }
    SECTION("02:00 to 03:00 is not there at all") {
        CHECK(named(curve(with_windows({low(2h, 3h)}), halifax(), night), "low").empty());
    }
}

TEST_CASE("a clock that moves by half an hour makes days of 24.5 and 23.5 hours") {
    // Lord Howe: +11 until 2026-04-04T15:00Z, +10:30 until 2026-10-03T15:30Z.
    const Zone clock{"test/lord-howe",
                     {{Instant{0s}, 11h, ""},
                      {sys_days{2026_y / 4 / 4} + 15h, 10h + 30min, ""},
                      {sys_days{2026_y / 10 / 3} + 15h + 30min, 11h, ""}},
                     {Instant{0s}, sys_days{2030_y / 1 / 1}}};
    const Tariff tariff = with_windows({low(1h + 45min, 3h)});
    const Interval april = civil_day(clock, 2026_y / 4 / 5);
    REQUIRE(april.length() == 24h + 30min);
    CHECK(named(curve(tariff, clock, april), "low") ==
          Intervals{{april.begin + 105min, april.begin + 120min},
                    {april.begin + 135min, april.begin + 210min}});
    const Interval october = civil_day(clock, 2026_y / 10 / 4);
    REQUIRE(october.length() == 23h + 30min);
    CHECK(named(curve(tariff, clock, october), "low") ==
          Intervals{{october.begin + 105min, october.begin + 150min}});
}

TEST_CASE("a clock set back across midnight shows the evening before a second time") {
    // As in St. John's until 2011: at 00:01 back to 23:01.
    const Instant back = sys_days{2010_y / 11 / 7} + 2h + 31min;
    const Zone clock{"test/st-johns",
                     {{Instant{0s}, -(2h + 30min), ""}, {back, -(3h + 30min), ""}},
                     {Instant{0s}, sys_days{2030_y / 1 / 1}}};
    const Tariff tariff = with_windows({low(23h + 30min, 0h)});
    CHECK(named(curve(tariff, clock, {back - 30s, back + 2h}), "low") ==
          Intervals{{back + 29min, back + 59min}});
}

TEST_CASE("a meter's fixed clock does not follow the household's") {
    const Tariff tariff = with_windows({low(0h, 7h)});
    const Instant day = sys_days{2026_y / 7 / 1};
    const auto pieces = curve(tariff, Zone::fixed(-(3h + 30min)), {day, day + 24h});
    CHECK(named(pieces, "low") == Intervals{{day + 3h + 30min, day + 10h + 30min}});
}

TEST_CASE("a revision holds from its first day on the tariff's clock") {
    Tariff tariff = with_windows({});
    tariff.revisions.push_back({2026_y / 7 / 1, {{.name = "new", .rate = rate(3000)}}, {}, {}});
    const Instant change = sys_days{2026_y / 7 / 1} + 3h;  // midnight three hours behind UTC
    CHECK(named(curve(tariff, halifax(), {change - 24h, change + 24h}), "new") ==
          Intervals{{change, change + 24h}});
    SECTION("which may begin at another hour than midnight") {
        tariff.day_start = 6h;
        CHECK(named(curve(tariff, halifax(), {change - 24h, change + 24h}), "new") ==
              Intervals{{change + 6h, change + 24h}});
    }
}

TEST_CASE("a day that starts at six keeps Friday's kind until six on Saturday") {
    Tariff tariff = with_windows({low(0h, 24h, only(date::Friday))});
    tariff.day_start = 6h;
    const Instant friday = sys_days{2026_y / 6 / 5};
    CHECK(named(curve(tariff, Zone::fixed(0s), {friday, friday + 72h}), "low") ==
          Intervals{{friday + 6h, friday + 30h}});
}

TEST_CASE("a day that starts at 23:00 the evening before has Saturday's kind from Friday 23:00") {
    Tariff tariff = with_windows({low(0h, 24h, only(date::Saturday))});
    tariff.day_start = -1h;
    const Instant friday = sys_days{2026_y / 6 / 5};
    CHECK(named(curve(tariff, Zone::fixed(0s), {friday, friday + 72h}), "low") ==
          Intervals{{friday + 23h, friday + 47h}});
}

TEST_CASE("a night that belongs to its evening does so whenever the day starts") {
    Window night = low(22h, 8h, only(date::Friday));
    night.past_midnight = PastMidnight::day_before;
    Tariff tariff = with_windows({night});
    const Instant friday = sys_days{2026_y / 6 / 5};
    for (const Seconds start : {Seconds{-1h}, Seconds{0h}, Seconds{6h}}) {
        INFO(start.count());
        tariff.day_start = start;
        CHECK(named(curve(tariff, Zone::fixed(0s), {friday - 24h, friday + 72h}), "low") ==
              Intervals{{friday + 22h, friday + 32h}});
    }
    SECTION("one that begins after the day has started is the next day's") {
        tariff.day_start = -1h;
        tariff.revisions.front().windows.front().from = 23h + 30min;
        CHECK(named(curve(tariff, Zone::fixed(0s), {friday - 24h, friday + 72h}), "low") ==
              Intervals{{friday - 30min, friday + 8h}});
    }
}

TEST_CASE("a piece carries the sum of its per-kWh parts, and the same with tax") {
    Tariff tariff = with_windows({});
    Revision& revision = tariff.revisions.front();
    revision.adders = {{"rider", rate(131)}, {"credit", rate(-31)}};
    revision.taxes = {{"one", 50'000}, {"two", 99'750}};
    const Interval hour{sys_days{2026_y / 6 / 1}, sys_days{2026_y / 6 / 1} + 1h};
    const auto whole = curve(tariff, Zone::fixed(0s), hour);
    CHECK(whole.front().rate == rate(2100));
    CHECK(whole.front().marginal == Rate(241'447'500'000));  // 0.21 × 1.14975, exactly
    SECTION("the tax is rounded to 1e-12, halves away from zero") {
        revision.adders = {};
        revision.taxes = {{"tax", 500'000}};
        revision.windows = {{.name = "odd", .rate = Rate(-3)}};
        CHECK(curve(tariff, Zone::fixed(0s), hour).front().marginal == Rate(-5));  // −4.5
        revision.windows = {{.name = "odd", .rate = Rate(3)}};
        CHECK(curve(tariff, Zone::fixed(0s), hour).front().marginal == Rate(5));
    }
}

TEST_CASE("neighbours of one name and price are one piece, of two names they are two") {
    Tariff tariff = with_windows({{.name = "rest", .from = 5h, .to = 6h, .rate = rate(2000)},
                                  {.name = "other", .from = 6h, .to = 7h, .rate = rate(2000)}});
    const Instant day = sys_days{2026_y / 6 / 1};
    const auto pieces = curve(tariff, Zone::fixed(0s), {day, day + 24h});
    REQUIRE(pieces.size() == 3);
    CHECK(pieces[0].when == Interval{day, day + 6h});
    CHECK(price_at(pieces, day + 6h).name == "other");
    CHECK(price_at(pieces, day + 7h).name == "rest");
}

TEST_CASE("an override prices whole days, first and last included") {
    Tariff tariff = with_windows({low(23h, 7h)});
    tariff.overrides = {{2026_y / 6 / 2, 2026_y / 6 / 3, "by order", rate(500)}};
    const Instant day = sys_days{2026_y / 6 / 2};
    const auto pieces = curve(tariff, Zone::fixed(0s), {day - 24h, day + 72h});
    CHECK(named(pieces, "by order") == Intervals{{day, day + 48h}});
}

TEST_CASE("hours without a price are told, not priced") {
    const Instant day = sys_days{2026_y / 6 / 1};
    const auto uncovered = [&](const Tariff& tariff, Interval span) {
        const auto priced = price_curve(tariff, Zone::fixed(0s), span);
        REQUIRE(std::holds_alternative<Uncovered>(priced));
        return std::get<Uncovered>(priced);
    };
    SECTION("before the first revision") {
        Tariff tariff = with_windows({low(23h, 7h)});
        tariff.revisions.front().from = 2026_y / 6 / 2;
        CHECK(uncovered(tariff, {day, day + 48h}) == Intervals{{day, day + 24h}});
    }
    SECTION("where no window holds") {
        Tariff tariff = with_windows({low(7h, 23h)});
        tariff.revisions.front().windows.pop_back();
        CHECK(uncovered(tariff, {day, day + 48h}) ==
              Intervals{{day, day + 7h}, {day + 23h, day + 31h}, {day + 47h, day + 48h}});
    }
}

TEST_CASE("announced prices hold where they are known, the fallback elsewhere under the name assumed") {
    Tariff tariff = with_windows({});
    Revision& revision = tariff.revisions.front();
    revision.windows.clear();
    revision.adders = {{"network", rate(300)}};
    revision.taxes = {{"tax", 250'000}};
    const Instant day = sys_days{2026_y / 6 / 1};
    tariff.announced =
        Announced{{{{day + 1h, day + 2h}, rate(-100)}, {{day + 2h, day + 3h}, rate(700)}}, rate(2500)};
    const auto pieces = curve(tariff, halifax(), {day, day + 4h});
    REQUIRE(pieces.size() == 4);
    CHECK(pieces[0] == PricePiece{{day, day + 1h}, rate(2800), rate(3500), "assumed", true});
    CHECK(pieces[1] == PricePiece{{day + 1h, day + 2h}, rate(200), rate(250), "announced"});
    CHECK(pieces[2] == PricePiece{{day + 2h, day + 3h}, rate(1000), rate(1250), "announced"});
    CHECK(pieces[3].name == "assumed");
}

TEST_CASE("a span may begin and end anywhere, to the second") {
    const Tariff tariff = with_windows({low(23h, 7h)});
    const Instant day = sys_days{2026_y / 6 / 1};
    const auto pieces = curve(tariff, Zone::fixed(0s), {day + 6h + 59min + 59s, day + 7h + 1s});
    REQUIRE(pieces.size() == 2);
    CHECK(pieces[0].when.length() == 1s);
    CHECK(pieces[1].when.length() == 1s);
}
