// Bills over changes of prices, blocks that add up, export, minimums and percentages, each worked by hand.
#include "io/tariff_file/tariff_file.hpp"
#include "support/billing.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using account::DateSpan;
using date::operator""_y;
using date::sys_days;
using testing::text_of;
using testing::total;

namespace {

tariff::Tariff read(const std::string& revisions) {
    const auto read = io::read_tariff_text(
        "format: 1\nname: t\ncurrency: USD\noffset: \"+00:00\"\n" + revisions, "t.yaml", {});
    if (!read.ok()) FAIL(text(read.faults().front()));
    return read.value();
}

account::Bill bill_of(const std::string& tariff, DateSpan days,
                      const std::variant<account::Metered, account::Typed>& usage,
                      const account::Terms& terms = {}, const account::Carried& before = {}) {
    return testing::bill(read(tariff), days, usage, terms, before);
}

constexpr DateSpan kJanuary{2026_y / 1 / 1, 2026_y / 2 / 1};

// So many kilowatt-hours in each hour of a span.
EnergySeries steady(DateSpan days, std::int64_t milliwatt_hours) {
    EnergySeries series;
    for (Instant at = sys_days{days.from}; at < sys_days{days.to}; at += 1h)
        series.push_back({{at, at + 1h}, MilliwattHours(milliwatt_hours)});
    return series;
}

}  // namespace

TEST_CASE("a bill over a change of prices is split as the energy was used, and fixed amounts by days") {
    const std::string revisions =
        "revisions:\n"
        "  - {from: 2025-01-01, windows: [{name: all, per_kwh: 0.10}], fixed: [{name: basic, amount: 31}]}\n"
        "  - {from: 2026-01-11, windows: [{name: all, per_kwh: 0.20}], fixed: [{name: basic, amount: 62}]}\n";
    // 10 days of 24 kWh and 21 of them; 31 x 10/31 and 62 x 21/31.
    const account::Metered use{steady(kJanuary, 1'000'000), {}};
    CHECK(text_of(bill_of(revisions, kJanuary, use)) ==
          "all 240 x 0.1 = 24.00; all 504 x 0.2 = 100.80; basic = 10.00; basic = 42.00; total 176.80");
    CHECK(text_of(bill_of("revisions_by: bill-begin\n" + revisions, kJanuary, use)) ==
          "all 744 x 0.1 = 74.40; basic = 31.00; total 105.40");
    CHECK(text_of(bill_of("revisions_by: bill-end\n" + revisions, kJanuary, use)) ==
          "all 744 x 0.2 = 148.80; basic = 62.00; total 210.80");
}

TEST_CASE("seasons by the bill's last day hold for all of it") {
    const std::string file =
        "seasons: [{name: winter, from: 10-01, to: 04-30}, {name: summer, from: 05-01, to: 09-30}]\n"
        "revisions: [{from: 2025-01-01, windows: [{name: dear, seasons: [summer], per_kwh: 0.30}, {name: "
        "cheap, "
        "per_kwh: 0.10}]}]\n";
    const DateSpan days{2026_y / 4 / 20, 2026_y / 5 / 20};
    const account::Metered use{steady(days, 1'000'000), {}};
    CHECK(text_of(bill_of(file, days, use)) ==
          "dear 456 x 0.3 = 136.80; cheap 264 x 0.1 = 26.40; total 163.20");
    CHECK(text_of(bill_of("seasons_by: bill-end\n" + file, days, use)) ==
          "dear 720 x 0.3 = 216.00; total 216.00");
}

TEST_CASE("yearly blocks go on where the bill before ended, and begin again with their year") {
    const std::string file =
        "revisions: [{from: 2024-01-01, blocks: [{name: tier, over: year, year_begins: 04-01, steps: "
        "[{up_to: 1000 "
        "kWh, per_kwh: 0.10}, {per_kwh: 0.20}]}]}]\n";
    const auto tariff = read(file);
    const auto first = testing::bill(tariff, {2026_y / 1 / 1, 2026_y / 2 / 1}, total(800'000'000));
    CHECK(text_of(first) == "tier 800 x 0.1 = 80.00; total 80.00");
    const auto second =
        testing::bill(tariff, {2026_y / 2 / 1, 2026_y / 3 / 1}, total(500'000'000), {}, first.after);
    CHECK(text_of(second) == "tier 200 x 0.1 = 20.00; tier 300 x 0.2 = 60.00; total 80.00");
    const auto april =
        testing::bill(tariff, {2026_y / 4 / 1, 2026_y / 5 / 1}, total(500'000'000), {}, second.after);
    CHECK(text_of(april) == "tier 500 x 0.1 = 50.00; total 50.00");
}

TEST_CASE("blocks of each day hold each day's use against the limit by itself") {
    const std::string file =
        "revisions: [{from: 2025-01-01, blocks: [{name: tier, over: day, steps: [{up_to: 10 kWh, per_kwh: "
        "0.10}, "
        "{per_kwh: 0.20}]}]}]\n";
    account::Metered use;
    const sys_days day{2026_y / 1 / 5};
    use.taken = {{{day, day + 1h}, MilliwattHours(15'000'000)},
                 {{day + 24h, day + 25h}, MilliwattHours(5'000'000)}};
    CHECK(text_of(bill_of(file, kJanuary, use)) == "tier 15 x 0.1 = 1.50; tier 5 x 0.2 = 1.00; total 2.50");
}

TEST_CASE("percentages are taken in order, of the lines they name, of rounded amounts") {
    const std::string file =
        "revisions:\n"
        "  - from: 2025-01-01\n"
        "    windows: [{name: energy, per_kwh: 0.0999}]\n"
        "    fixed: [{name: basic, amount: 10}]\n"
        "    riders: [{name: rebate, percent: -10 %}, {name: recovery, percent: 5 %, of: [energy]}]\n"
        "    taxes: [{name: city, percent: 2 %}, {name: state, percent: 5 %, compound: yes}, {name: meter "
        "tax, "
        "percent: 50 %, of: [basic]}]\n";
    // 33.5 x 0.0999 = 3.34665; rebate of 13.35; recovery of 3.35; city of 12.19; state of 12.43.
    CHECK(text_of(bill_of(file, kJanuary, total(33'500'000))) ==
          "energy 33.5 x 0.0999 = 3.35; basic = 10.00; rebate -10 % = -1.34; recovery 5 % = 0.17; "
          "city 2 % = 0.24; state 5 % = 0.62; meter tax 50 % = 5.00; total 18.04");
}

TEST_CASE("a minimum makes up for what its lines lack, before percentages") {
    const std::string file =
        "revisions:\n"
        "  - from: 2025-01-01\n"
        "    windows: [{name: energy, per_kwh: 0.10}]\n"
        "    fixed: [{name: basic, amount: 0.03, per: day}]\n"
        "    minimums: [{name: minimum, amount: 0.35, per: day}]\n"
        "    taxes: [{name: tax, percent: 10 %}]\n";
    CHECK(text_of(bill_of(file, kJanuary, total(50'000'000))) ==
          "energy 50 x 0.1 = 5.00; basic = 0.93; minimum = 4.92; tax 10 % = 1.09; total 11.94");
    CHECK(text_of(bill_of(file, kJanuary, total(150'000'000))) ==
          "energy 150 x 0.1 = 15.00; basic = 0.93; tax 10 % = 1.59; total 17.52");
}

TEST_CASE("fixed charges by fuse and by ordered power need them, and say so") {
    const auto tariff = read(
        "revisions: [{from: 2025-01-01, windows: [{name: energy, per_kwh: 0}], fixed: [{name: fuse, by_fuse: "
        "[{up_to: "
        "16 A, amount: 200}, {up_to: 25 A, amount: 380}]}, {name: power, each: contracted-kilowatt, amount: "
        "1.10}]}]\n");
    account::Terms terms;
    terms.fuse = WholeAmps(20);
    terms.contracted = Milliwatts(9'200'000);
    CHECK(text_of(testing::bill(tariff, kJanuary, total(0), terms)) ==
          "fuse = 380.00; power = 10.12; total 390.12");
    const auto refused = [&](const account::Terms& stated) {
        const auto made = account::bill(tariff, Zone::fixed(0h), kJanuary, total(0), stated, {});
        REQUIRE(std::holds_alternative<account::Refusal>(made));
        return std::get<account::Refusal>(made).what;
    };
    CHECK(refused({}) == "'fuse' goes by the main fuse, which is not stated");
    terms.fuse = WholeAmps(35);
    CHECK(refused(terms) == "'fuse' has no amount for a fuse of 35 A");
    terms.fuse = WholeAmps(16);
    terms.contracted.reset();
    CHECK(refused(terms) == "'power' goes by the contracted power, which is not stated");
}

TEST_CASE("rounding: down, to steps in a line of its own, whole kilowatt-hours") {
    const std::string file =
        "revisions: [{from: 2025-01-01, windows: [{name: energy, per_kwh: 19.88}], fixed: [{name: basic, "
        "amount: "
        "858.4}]}]\n";
    // Whole kilowatt-hours, lines exact, the total cut to the whole unit: 121 x 19.88 + 858.40 = 3263.88.
    const auto yen = read(
        "large_rates: yes\nrounding: {lines: exact, total: down, total_step: 1, energy: 1 kWh}\n" + file);
    CHECK(text_of(testing::bill(yen, kJanuary, total(120'500'000))) ==
          "energy 121 x 19.88 = 2405.48; basic = 858.40; rounding = -0.88; total 3263.00");
}

TEST_CASE("what is given back: paid, cancelled by the hour, by the window or over the bill, banked") {
    const auto with = [](const std::string& exported) {
        return "revisions: [{from: 2025-01-01, windows: [{name: day, from: \"08:00\", to: \"20:00\", "
               "per_kwh: 0.20}, "
               "{name: night, per_kwh: 0.10}], adders: [{name: rider, per_kwh: 0.01}, {name: public, "
               "per_kwh: "
               "0.02, on_all_taken: yes}], export: {" +
               exported + "}}]\n";
    };
    account::Metered use;
    const Instant noon = sys_days{2026_y / 1 / 5} + 12h;
    use.taken = {{{noon, noon + 30min}, MilliwattHours(10'000'000)},
                 {{noon + 10h, noon + 11h}, MilliwattHours(5'000'000)}};
    use.given = {{{noon + 30min, noon + 1h}, MilliwattHours(16'000'000)}};
    SECTION("all that is given is paid") {
        CHECK(text_of(bill_of(with("per_kwh: 0.05"), kJanuary, use)) ==
              "day 10 x 0.2 = 2.00; night 5 x 0.1 = 0.50; rider 15 x 0.01 = 0.15; public 15 x 0.02 = 0.30; "
              "day -16 x 0.05 = -0.80; total 2.15");
    }
    SECTION("cancelled within the hour") {
        CHECK(text_of(bill_of(with("netting: 60 min, per_kwh: 0.05"), kJanuary, use)) ==
              "day 0 x 0.2 = 0.00; night 5 x 0.1 = 0.50; rider 5 x 0.01 = 0.05; public 5 x 0.02 = 0.10; "
              "day -6 x 0.05 = -0.30; total 0.35");
    }
    SECTION("cancelled within each window; the rest at the window's own price, adders with it") {
        CHECK(text_of(bill_of(with("netting: window"), kJanuary, use)) ==
              "day 0 x 0.2 = 0.00; night 5 x 0.1 = 0.50; rider -1 x 0.01 = -0.01; public 15 x 0.02 = 0.30; "
              "day -6 x 0.2 = -1.20; total -0.41");
    }
    SECTION("over the bill; one kilowatt-hour is banked, and taken off the next bill") {
        const auto tariff = read(with("netting: bill, bank: energy, expires: 03-01, settled_per_kwh: 0.03"));
        const auto first = testing::bill(tariff, kJanuary, use);
        CHECK(text_of(first) ==
              "day 0 x 0.2 = 0.00; night 0 x 0.1 = 0.00; rider 0 x 0.01 = 0.00; public 15 x 0.02 = 0.30; "
              "total 0.30");
        REQUIRE(first.after.energy.size() == 1);
        CHECK(first.after.energy[0].energy == MilliwattHours(1'000'000));
        const DateSpan february{2026_y / 2 / 1, 2026_y / 3 / 1};
        account::Metered more;
        more.taken = {{{noon + 30 * 24h, noon + 30 * 24h + 1h}, MilliwattHours(4'000'000)}};
        CHECK(text_of(testing::bill(tariff, february, more, {}, first.after)) ==
              "day 3 x 0.2 = 0.60; night 0 x 0.1 = 0.00; rider 3 x 0.01 = 0.03; public 4 x 0.02 = 0.08; "
              "total 0.71");
        const DateSpan march{2026_y / 3 / 1, 2026_y / 4 / 1};
        const auto settled = testing::bill(tariff, march, account::Metered{}, {}, first.after);
        CHECK(settled.total == Money(-30'000));
        CHECK(settled.after.energy.empty());
    }
    SECTION("a bill below nothing is carried into the next as money") {
        const auto tariff = read(with("netting: window, bank: money"));
        const auto first = testing::bill(tariff, kJanuary, use);
        CHECK(first.total == Money(0));
        CHECK(first.after.money == Money(410'000));
        account::Typed next;
        next.taken = {{"day", MilliwattHours(1'000'000)}};
        const auto second = testing::bill(tariff, {2026_y / 2 / 1, 2026_y / 3 / 1}, next, {}, first.after);
        CHECK(second.total == Money(0));
        CHECK(second.after.money == Money(180'000));
    }
}

TEST_CASE("announced prices make one line of their mean, and say what was assumed") {
    tariff::Tariff tariff{.name = "hourly", .currency = "USD"};
    tariff.revisions = {{.from = 2025_y / 1 / 1}};
    const Instant day = sys_days{2026_y / 1 / 1};
    tariff.announced = tariff::Announced{
        {{{day, day + 1h}, Rate(100'000'000'000)}, {{day + 1h, day + 2h}, Rate(300'000'000'000)}},
        Rate(500'000'000'000)};
    account::Metered use{{{{day, day + 2h}, MilliwattHours(3'000'000)}}, {}};
    const auto made = testing::bill(tariff, {2026_y / 1 / 1, 2026_y / 1 / 2}, use);
    CHECK(made.lines.at(0).amount == Money(600'000));
    CHECK(made.assumed);
    CHECK(made.without_readings == 22h);
}

TEST_CASE("typed totals that cannot be priced are refused with what would help") {
    const auto refused = [](const std::string& file, const account::Typed& typed) {
        const auto made = account::bill(read(file), Zone::fixed(0h), kJanuary, typed, {}, {});
        REQUIRE(std::holds_alternative<account::Refusal>(made));
        const auto& refusal = std::get<account::Refusal>(made);
        return refusal.what + " / " + refusal.mend;
    };
    const std::string two =
        "revisions: [{from: 2025-06-01, windows: [{name: day, from: \"08:00\", to: \"20:00\", per_kwh: "
        "0.20}, {name: "
        "night, per_kwh: 0.10}], demand: [{name: peak, per_kw: 1}]}]\n";
    CHECK(refused(two, total(1'000'000)) ==
          "one total cannot be priced: prices differ by the hour / give the energy of each of day, night, or "
          "the "
          "meter's readings");
    CHECK(refused(two, {{{"evening", MilliwattHours(1)}}, {}, {}}) ==
          "'evening' is no price of these days / one of day, night");
    CHECK(refused(two, {{{"day", MilliwattHours(1)}}, {}, {}}) ==
          "the demand for 'peak' is not stated / give its kilowatts, or readings");
    CHECK(refused(
              "revisions: [{from: 2025-01-15, blocks: [{name: tier, over: day, steps: [{per_kwh: 0.1}]}]}]\n",
              total(1)) == "blocks of each day's use cannot be told from totals / give the meter's readings");
    CHECK(refused("revisions: [{from: 2026-01-15, windows: [{name: all, per_kwh: 0.1}]}]\n", total(1)) ==
          "the tariff has no prices for 2026-01-01 / add the revision that held on that day");
}
