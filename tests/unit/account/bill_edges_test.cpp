// Bills whose edges, prices and counters do not fall together, each worked by hand.
#include "core/account/cars_part.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "support/billing.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using account::Bill;
using account::DateSpan;
using account::Metered;
using date::operator""_y;
using date::sys_days;
using testing::text_of;

namespace {

tariff::Tariff read(const std::string& rest) {
    const auto read =
        io::read_tariff_text("format: 1\nname: t\ncurrency: USD\noffset: \"+00:00\"\n" + rest, "t.yaml", {});
    if (!read.ok()) FAIL(text(read.faults().front()));
    return read.value();
}

EnergySeries steady(DateSpan days, std::int64_t milliwatt_hours, Seconds step = 1h) {
    EnergySeries series;
    for (Instant at = sys_days{days.from}; at < sys_days{days.to}; at += step)
        series.push_back({{at, at + step}, MilliwattHours(milliwatt_hours)});
    return series;
}

Bill bill_of(const std::string& tariff, DateSpan days, const std::variant<Metered, account::Typed>& usage,
             const account::Carried& before = {}) {
    return testing::bill(read(tariff), days, usage, {}, before);
}

std::vector<Bill> bills_of(const std::string& text, const std::vector<DateSpan>& spans,
                           const std::variant<Metered, account::Typed>& usage) {
    const auto tariff = read(text);
    const DateSpan all{spans.front().from, spans.back().to};
    auto made = account::bills(tariff, testing::clock_of(tariff, all), spans, usage, {});
    REQUIRE(std::holds_alternative<std::vector<Bill>>(made));
    return std::get<std::vector<Bill>>(std::move(made));
}

// Kilowatt-hours taken and given in every hour.
Metered both(DateSpan days, double taken, double given) {
    return {steady(days, static_cast<std::int64_t>(taken * 1e6)),
            steady(days, static_cast<std::int64_t>(given * 1e6))};
}

constexpr DateSpan kJanuary{2026_y / 1 / 1, 2026_y / 2 / 1};

}  // namespace

TEST_CASE("netting is for energy: demand and gaps are the meter's own") {
    const std::string file =
        "revisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 0}], demand: [{name: peak, interval: "
        "15 "
        "min, per_kw: 10}], export: {netting: 60 min, per_kwh: 0.05}}]\n";
    Metered use{steady(kJanuary, 250'000, 15min), {}};
    use.taken[8].energy = MilliwattHours(2'500'000);
    CHECK(text_of(bill_of(file, kJanuary, use)) == "peak 10 x 10 = 100.00; total 100.00");
    use.taken.erase(use.taken.begin() + 20);
    CHECK(bill_of(file, kJanuary, use).without_readings == 15min);
}

TEST_CASE("blocks of each day are of what the day took less what it gave, where they are net") {
    const std::string file =
        "revisions: [{from: 2025-01-01, blocks: [{name: tier, over: day, net: yes, steps: [{up_to: 10 kWh, "
        "per_kwh: 0.10}, {per_kwh: 0.30}]}]}]\n";
    // 12 kWh a day taken and 4, in whole milliwatt-hours an hour, given: 31 x 8 x 0.10.
    CHECK(text_of(bill_of(file, kJanuary, both(kJanuary, 0.5, 4.0 / 24))) ==
          "tier 248.000496 x 0.1 = 24.80; total 24.80");
}

TEST_CASE("blocks of a season or year begin anew on its day, within a bill too") {
    SECTION("season: 384 kWh of September are beyond summer's 1,000, October's are winter's") {
        const std::string file =
            "seasons: [{name: summer, from: 06-01, to: 09-30}, {name: winter, from: 10-01, to: 05-31}]\n"
            "revisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 0.10}], blocks: [{name: tier, "
            "over: "
            "season, seasons: [summer], steps: [{up_to: 1000 kWh, per_kwh: 0}, {per_kwh: 0.20}]}]}]\n";
        const std::vector<DateSpan> spans = {{2026_y / 5 / 15, 2026_y / 9 / 15},
                                             {2026_y / 9 / 15, 2026_y / 10 / 15}};
        const auto use = Metered{steady({2026_y / 5 / 15, 2026_y / 10 / 15}, 1'000'000), {}};
        CHECK(bills_of(file, spans, use)[1].total == Money(148'800'000));  // 72 + 384 x 0.20
    }
    SECTION("year: December's counter goes on to its end, January's begins") {
        const std::string file =
            "revisions: [{from: 2025-01-01, blocks: [{name: tier, over: year, steps: [{up_to: 100 kWh, "
            "per_kwh: "
            "0.10}, {per_kwh: 0.30}]}]}]\n";
        const std::vector<DateSpan> spans = {{2025_y / 12 / 1, 2025_y / 12 / 20},
                                             {2025_y / 12 / 20, 2026_y / 1 / 20}};
        // 2.4 kWh a day: 45.6, then 28.8 in December and 45.6 in January; all within the first 100.
        const auto use = Metered{steady({2025_y / 12 / 1, 2026_y / 1 / 20}, 100'000), {}};
        const auto made = bills_of(file, spans, use);
        CHECK(text_of(made[1]) == "tier 28.8 x 0.1 = 2.88; tier 45.6 x 0.1 = 4.56; total 7.44");
        CHECK(made[1].after.used.front().energy == MilliwattHours(45'600'000));
        // Typed: 31 kWh spread over 31 days, 12 of them December's.
        CHECK(text_of(bill_of(file, spans[1], testing::total(31'000'000))) ==
              "tier 12 x 0.1 = 1.20; tier 19 x 0.1 = 1.90; total 3.10");
    }
}

TEST_CASE("net blocks that add up take back from the steps they had filled") {
    const std::string file =
        "revisions: [{from: 2025-01-01, blocks: [{name: tier, over: year, net: yes, steps: [{up_to: 1000 "
        "kWh, "
        "per_kwh: 0.10}, {per_kwh: 0.30}]}]}]\n";
    const std::vector<DateSpan> spans = {kJanuary, {2026_y / 2 / 1, 2026_y / 3 / 1}};
    const auto run = [&](double january, double february) {
        Metered use;
        use.taken = {{{sys_days{2026_y / 1 / 5}, sys_days{2026_y / 1 / 6}}, MilliwattHours(0)},
                     {{sys_days{2026_y / 2 / 5}, sys_days{2026_y / 2 / 6}}, MilliwattHours(0)}};
        use.taken[0].energy = MilliwattHours(static_cast<std::int64_t>(january * 1e6));
        use.taken[1].energy = MilliwattHours(static_cast<std::int64_t>(february * 1e6));
        const auto made = bills_of(file, spans, use);
        return std::pair(made[0].total, made[1].total);
    };
    CHECK(run(-372, 672) == std::pair(Money(-37'200'000), Money(67'200'000)));
    CHECK(run(1500, -200) == std::pair(Money(250'000'000), Money(-60'000'000)));
}

TEST_CASE("each revision pays for what was given back in its days, and asks its minimum for them") {
    const Metered given = both(kJanuary, 0, 1);
    const std::string price = "windows: [{name: all, per_kwh: 0.10}]";
    CHECK(bill_of("revisions: [{from: 2025-01-01, " + price +
                      ", export: {per_kwh: 0.10}}, {from: 2026-01-16, " + price +
                      ", export: {per_kwh: 0.02}}]\n",
                  kJanuary, given)
              .total == Money(-43'680'000));  // 360 x 0.10 + 384 x 0.02
    CHECK(bill_of("revisions: [{from: 2025-01-01, " + price +
                      ", export: {per_kwh: 0.10}}, {from: 2026-01-31, " + price + "}]\n",
                  kJanuary, given)
              .total == Money(-72'000'000));
    const std::string least = ", minimums: [{name: least, per: day, amount: ";
    CHECK(bill_of("revisions: [{from: 2025-01-01, " + price + least + "1}]}, {from: 2026-01-31, " + price +
                      least + "2}]}]\n",
                  kJanuary, Metered{})
              .total == Money(32'000'000));
}

TEST_CASE("months and years by the calendar are each day's own") {
    const DateSpan days{2026_y / 1 / 15, 2026_y / 2 / 15};
    const std::string basic = "fixed: [{name: basic, per: month, amount: ";
    const std::string price = "windows: [{name: all, per_kwh: 0.10}], ";
    CHECK(bill_of("proration: {month: calendar}\nrevisions: [{from: 2025-01-01, " + price + basic +
                      "10}]}, {from: 2026-02-01, " + price + basic + "20}]}]\n",
                  days, Metered{})
              .total == Money(15'480'000));  // 10 x 17/31 = 5.48 and 20 x 14/28 = 10.00
    const std::string yearly = "fixed: [{name: basic, per: year, amount: 380}]";
    CHECK(text_of(bill_of("revisions: [{from: 2025-01-01, " + price + yearly + "}, {from: 2028-01-01, " +
                              price + yearly + "}]\n",
                          {2027_y / 12 / 15, 2028_y / 1 / 15}, Metered{})) ==
          "all 0 x 0.1 = 0.00; all 0 x 0.1 = 0.00; basic = 17.70; basic = 14.54; total 32.24");
}

TEST_CASE("demand over a change of prices: each day by its own hours, one figure for the bill") {
    const auto charge = [](const std::string& hours) {
        return "windows: [{name: all, per_kwh: 0}], demand: [{name: peak, interval: 60 min, per_kw: 10, "
               "hours: "
               "[{from: \"" +
               hours + "\"}]}]";
    };
    const std::string file = "revisions: [{from: 2025-01-01, " + charge("16:00\", to: \"20:00") +
                             "}, {from: 2026-01-16, " + charge("06:00\", to: \"10:00") + "}]\n";
    Metered use{steady(kJanuary, 1'000'000), {}};
    use.taken[24 * 24 + 18].energy = MilliwattHours(9'000'000);  // 25 January, 18:00
    const Bill made = bill_of(file, kJanuary, use);
    CHECK(text_of(made) == "peak 1 x 10 = 4.84; peak 1 x 10 = 5.16; total 10.00");
    CHECK(made.peaks.size() == 1);
    use.taken[24 * 20 + 7].energy = MilliwattHours(5'000'000);  // 21 January, 07:00
    CHECK(text_of(bill_of(file, kJanuary, use)) == "peak 5 x 10 = 24.19; peak 5 x 10 = 25.81; total 50.00");
}

TEST_CASE("credit pays what is above the minimum, and the rest goes into the next bill") {
    const std::string file =
        "revisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 0.10}], fixed: [{name: basic, amount: "
        "5}], "
        "export: {per_kwh: 0.30, bank: money}, minimums: [{name: least, amount: 10}]}]\n";
    const std::vector<DateSpan> spans = {kJanuary, {2026_y / 2 / 1, 2026_y / 3 / 1}};
    Metered use{steady({2026_y / 2 / 1, 2026_y / 3 / 1}, 1'000'000), steady(kJanuary, 500'000)};
    use.taken.insert(use.taken.begin(),
                     {{sys_days{kJanuary.from}, sys_days{kJanuary.to}}, MilliwattHours(0)});
    const auto made = bills_of(file, spans, use);
    // 372 kWh given at 0.30 are 111.60; the bill of 5 is lifted to 10, which credit does not pay.
    CHECK(made[0].total == Money(10'000'000));
    CHECK(made[0].after.money == Money(111'600'000));
    // 67.20 + 5 come down to the minimum: 62.20 of the credit.
    CHECK(made[1].total == Money(10'000'000));
    CHECK(made[1].after.money == Money(49'400'000));
}

TEST_CASE("banked money is gone at its day, or paid out") {
    const auto run = [](const std::string& rule) {
        const auto made = bill_of(
            "revisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 0.10}], export: "
            "{per_kwh: 0.10, bank: money, expires: 01-31" +
                rule + "}}]\n",
            kJanuary, both(kJanuary, 0, 1));
        return std::pair(made.total, made.after.money);
    };
    CHECK(run("") == std::pair(Money(0), Money(0)));
    CHECK(run(", pays_out: yes") == std::pair(Money(-74'400'000), Money(0)));
}

TEST_CASE("banked energy comes off each window's in proportion") {
    const std::string file =
        "revisions: [{from: 2025-01-01, windows: [{name: peak, from: \"16:00\", to: \"21:00\", per_kwh: "
        "0.40}, "
        "{name: off, per_kwh: 0.10}], export: {netting: bill, bank: energy}}]\n";
    account::Carried before;
    before.energy = {{"", MilliwattHours(100'000'000)}};
    account::Typed use;
    use.taken = {{"peak", MilliwattHours(140'000'000)}, {"off", MilliwattHours(532'000'000)}};
    // 140 - 20.833333 at 0.40 and 532 - 79.166667 at 0.10.
    CHECK(bill_of(file, kJanuary, use, before).total == Money(92'950'000));
}

TEST_CASE("a minimum counts the minimums above it") {
    const std::string file =
        "revisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 0.01}], fixed: [{name: basic, amount: "
        "1}], "
        "minimums: [{name: delivery, amount: 5, of: [fixed]}, {name: all of it, amount: 10}]}]\n";
    CHECK(text_of(bill_of(file, kJanuary, testing::total(200'000'000))) ==
          "all 200 x 0.01 = 2.00; basic = 1.00; delivery = 4.00; all of it = 3.00; total 10.00");
}

TEST_CASE("a change of prices that leaves a block as it was does not divide its limit") {
    const auto file = [](const std::string& second) {
        const std::string block =
            "blocks: [{name: tier, steps: [{up_to: 600 kWh, per_kwh: 0.10}, {per_kwh: 0.20}]}]";
        return "revisions: [{from: 2025-01-01, " + block + "}, {from: 2026-01-16, " + block + second + "}]\n";
    };
    Metered use{steady(kJanuary, 100'000), {}};
    for (std::size_t i = 0; i < 15 * 24; ++i) use.taken[i].energy = MilliwattHours(1'500'000);
    // 540 + 38.4 kWh, all within 600.
    CHECK(bill_of(file(", fixed: [{name: fee, amount: 31}]"), kJanuary, use).total ==
          Money(57'840'000 + 16'000'000));
}

TEST_CASE("rounded limits of the parts of a bill sum to the whole bill's") {
    const auto block = [](const char* rate) {
        return std::string(
                   "blocks: [{name: tier, per: day, round_limits: 1 kWh, steps: [{up_to: 22.1918 kWh, "
                   "per_kwh: ") +
               rate + "}, {per_kwh: 0.5}]}]";
    };
    const DateSpan sixty{2026_y / 1 / 1, 2026_y / 3 / 2};
    const auto made = bill_of(
        "revisions: [{from: 2025-01-01, " + block("0.1") + "}, {from: 2026-01-29, " + block("0.2") + "}]\n",
        sixty, Metered{steady(sixty, 5'000'000), {}});
    // 22.1918 x 60 = 1,331.508: 1,332 kWh in all.
    CHECK(made.lines[0].quantity + made.lines[2].quantity == 1'332'000'000);
}

TEST_CASE("energy given back in one season cancels what was taken in another at the same price") {
    const std::string file =
        "seasons: [{name: a, from: 01-01, to: 01-15}, {name: b, from: 01-16, to: 12-31}]\n"
        "revisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 0.20}], export: {netting: window, "
        "per_kwh: "
        "0.01}}]\n";
    Metered use{steady({2026_y / 1 / 1, 2026_y / 1 / 16}, 1'000'000),
                steady({2026_y / 1 / 16, 2026_y / 1 / 31}, 1'000'000)};
    CHECK(text_of(bill_of(file, kJanuary, use)) == "all 0 x 0.2 = 0.00; total 0.00");
}

TEST_CASE("each line's energy is rounded, that of days and of energy given back too") {
    const std::string file =
        "rounding: {energy: 1 kWh}\nrevisions: [{from: 2025-01-01, blocks: [{name: tier, over: day, steps: "
        "[{per_kwh: 0.10}]}], export: {per_kwh: 0.10}}]\n";
    CHECK(text_of(bill_of(file, kJanuary, both(kJanuary, 0.1, 0.05))) ==
          "tier 74 x 0.1 = 7.40; energy -37 x 0.1 = -3.70; total 3.70");
}

TEST_CASE("a reading that a bill's edge cuts is demand of the bill it begins in") {
    const std::string file =
        "revisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 0}], demand: [{name: peak, interval: "
        "15 "
        "min, per_kw: 1}]}]\n";
    Metered use{
        {{{sys_days{2026_y / 1 / 31} + 12h, sys_days{2026_y / 2 / 1} + 12h}, MilliwattHours(240'000'000)}},
        {}};
    CHECK(bill_of(file, kJanuary, use).total == Money(10'000'000));
    CHECK(bill_of(file, {2026_y / 2 / 1, 2026_y / 3 / 1}, use).total == Money(0));
}

TEST_CASE("a bill beyond a million millions is refused, not wrong") {
    const auto tariff =
        read("large_rates: yes\nrevisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 1000}]}]\n");
    const auto made =
        account::bill(tariff, Zone::fixed(0h), kJanuary, testing::total(2'000'000'000'000'000), {}, {});
    REQUIRE(std::holds_alternative<account::Refusal>(made));
    CHECK(std::get<account::Refusal>(made).what == "the bill comes to more than 1e12 USD");
}

TEST_CASE("what a car took from the roof would have been given back") {
    const auto tariff = read(
        "revisions: [{from: 2025-01-01, windows: [{name: all, per_kwh: 0.30}], export: {per_kwh: 0.10}}]\n");
    const DateSpan day{2026_y / 1 / 1, 2026_y / 1 / 2};
    const Interval noon{sys_days{day.from} + 12h, sys_days{day.from} + 13h};
    const std::vector<EnergySeries> session = {{{noon, MilliwattHours(5'000'000)}}};
    const auto part = [&](const Metered& use) {
        const auto made = account::cars_part(tariff, Zone::fixed(0h), day, use, session, {}, {});
        return std::pair(std::get<account::CarsPart>(made).whole, std::get<account::CarsPart>(made).missing);
    };
    // 2 kWh of it came through the meter at 0.30, 3 kWh would have earned 0.10.
    CHECK(part({{{noon, MilliwattHours(2'000'000)}}, {{noon, MilliwattHours(1'000'000)}}}) ==
          std::pair(Money(900'000), MilliwattHours(0)));
    // One register for both directions.
    CHECK(part({{{{sys_days{day.from} + 11h, noon.begin}, MilliwattHours(-4'000'000)},
                 {noon, MilliwattHours(2'000'000)}},
                {}}) == std::pair(Money(900'000), MilliwattHours(0)));
    // No meter of energy given back: the rest is told as missing.
    CHECK(part({{{noon, MilliwattHours(2'000'000)}}, {}}) ==
          std::pair(Money(600'000), MilliwattHours(3'000'000)));
}

TEST_CASE("a typed total of a name with two prices is refused") {
    const auto tariff = read(
        "revisions: [{from: 2025-01-01, windows: [{name: off, days: [weekends], per_kwh: 0.05}, {name: off, "
        "per_kwh: "
        "0.20}]}]\n");
    const auto made = account::bill(tariff, Zone::fixed(0h), kJanuary, testing::total(1'000'000'000), {}, {});
    REQUIRE(std::holds_alternative<account::Refusal>(made));
    CHECK(std::get<account::Refusal>(made).what ==
          "'off' has several prices in one season, so its total cannot be priced");
}
