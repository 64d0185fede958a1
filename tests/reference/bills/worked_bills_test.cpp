// Bills that utilities have worked out on their pages, to the cent, line by line.
#include "support/billing.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using date::operator""_y;
using account::DateSpan;
using date::sys_days;
using testing::bill;
using testing::text_of;
using testing::total;

namespace {

tariff::Tariff tariff_of(const std::string& name) {
    return testing::read_tariff("tests/reference/tariffs/" + name + ".yaml");
}

DateSpan month(int year, unsigned month) {
    const auto first = date::year{year} / date::month{month} / 1;
    return {first, CivilDate{first + date::months{1}}};
}

// A bill of that many days from 2026-01-01 on.
DateSpan days_from_new_year(int days) {
    const CivilDate first = 2026_y / 1 / 1;
    return {first, CivilDate{sys_days{first} + date::days{days}}};
}

}  // namespace

TEST_CASE("Seymour: blocks, power cost, base charge and the city's tax", "[check:seymour-bills]") {
    const auto tariff = tariff_of("seymour");
    SECTION("winter, 1,200 kWh: 171.55") {
        CHECK(text_of(bill(tariff, month(2026, 1), total(1'200'000'000))) ==
              "power cost 1200 x 0.085 = 102.00; energy 250 x 0.064 = 16.00; energy 450 x 0.049 = 22.05; "
              "energy 500 x 0.0446 = 22.30; base charge = 7.50; city tax 1 % = 1.70; total 171.55");
    }
    SECTION("summer, 2,000 kWh: 277.88, half a cent up") {
        CHECK(text_of(bill(tariff, month(2026, 7), total(2'000'000'000))) ==
              "power cost 2000 x 0.085 = 170.00; energy 250 x 0.064 = 16.00; energy 450 x 0.049 = 22.05; "
              "energy 550 x 0.0475 = 26.13; energy 750 x 0.0446 = 33.45; base charge = 7.50; "
              "city tax 1 % = 2.75; total 277.88");
    }
}

TEST_CASE("River Falls: 675.54 kWh flat and by the time of day", "[check:river-falls-totals]") {
    CHECK(text_of(bill(tariff_of("river-falls"), month(2026, 1), total(675'540'000))) ==
          "energy 675.54 x 0.111 = 74.98; customer charge = 14.00; total 88.98");
    const auto tariff = tariff_of("river-falls-time-of-day");
    const auto with_peak = [&](int percent) {
        const std::int64_t peak = 675'540'000LL * percent / 100;
        const account::Typed use{
            .taken = {{"on-peak", MilliwattHours(peak)}, {"off-peak", MilliwattHours(675'540'000 - peak)}},
            .given = {},
            .demand = {}};
        return bill(tariff, month(2026, 1), use).total;
    };
    CHECK(with_peak(45) == Money(96'580'000));
    CHECK(with_peak(35) == Money(88'140'000));
    CHECK(with_peak(30) == Money(83'920'000));
    CHECK(with_peak(25) == Money(79'700'000));
}

TEST_CASE("limits by the day, to the nearest kilowatt-hour", "[check:day-thresholds]") {
    // BC Hydro: 22.1918 kWh a day; 60 days give 1,332 kWh, 58 days 1,287.
    const auto tariff = tariff_of("day-limits");
    const auto first_step = [&](int days) {
        return bill(tariff, days_from_new_year(days), total(2'000'000'000)).lines.at(0).quantity;
    };
    CHECK(first_step(60) == 1'332'000'000);
    CHECK(first_step(58) == 1'287'000'000);
}

TEST_CASE("40 kWh a day of 62 days are 2,480 kWh", "[check:day-threshold-whole]") {
    // Hydro-Québec, rate D (hydroquebec.com), read 2026-11.
    auto tariff = tariff_of("day-limits");
    tariff.revisions[0].blocks[0].steps[0].up_to = MilliwattHours(40'000'000);
    tariff.revisions[0].blocks[0].round_limits = MilliwattHours(0);
    CHECK(bill(tariff, days_from_new_year(62), total(3'000'000'000)).lines.at(0).quantity == 2'480'000'000);
}

TEST_CASE("Otter Tail: a month's charge by days, use by daily average", "[check:otter-tail-bill]") {
    // 2018-12-11 to 2019-01-09, 29 days, 600 kWh, 20 and 9 days: 9.30; 413.793103 and 186.206897 kWh.
    const auto tariff = tariff_of("otter-tail");
    const DateSpan days{2018_y / 12 / 11, 2019_y / 1 / 9};
    const auto made = bill(tariff, days, total(600'000'000));
    CHECK(made.lines.at(0).quantity == 413'793'103);
    CHECK(made.lines.at(1).quantity == 186'206'897);
    // The page prints the month's charge as one line: the same with one revision.
    auto one = tariff;
    one.revisions.pop_back();
    CHECK(text_of(bill(one, days, total(600'000'000))) ==
          "energy 600 x 0.08 = 48.00; facilities charge = 9.30; total 57.30");
}

TEST_CASE("Ameren: 5 kW in winter and summer", "[check:ameren-demand]") {
    account::Typed use = total(0);
    use.demand = {{"", Milliwatts(5'000'000)}};
    CHECK(bill(tariff_of("ultimate-savers"), month(2026, 1), use).total == Money(16'850'000));
    CHECK(bill(tariff_of("ultimate-savers"), month(2026, 7), use).total == Money(40'800'000));
}

TEST_CASE("two loads of 5 kW for half an hour each: in one clock hour or one after the other",
          "[check:clock-hour-demand]") {
    // Columbia River PUD. Both in the same half hour of an hour: a mean of 5 kW; in hours of their own: 2.5
    // kW.
    const auto tariff = tariff_of("clock-hour-demand");
    const Instant noon = sys_days{2026_y / 1 / 15} + 20h;
    const auto demand_of = [&](std::vector<std::int64_t> half_hours) {
        account::Metered use;
        for (std::size_t i = 0; i < half_hours.size(); ++i) {
            const Instant begin = noon + 30min * static_cast<int>(i);
            use.taken.push_back({{begin, begin + 30min}, MilliwattHours(half_hours[i])});
        }
        return bill(tariff, month(2026, 1), use).total;
    };
    CHECK(demand_of({5'000'000, 0, 0, 0}) == Money(5'000'000));
    CHECK(demand_of({2'500'000, 2'500'000, 0, 0}) == Money(5'000'000));
    CHECK(demand_of({2'500'000, 0, 2'500'000, 0}) == Money(2'500'000));
    // By the clock: half an hour on either side of one o'clock is in two hours.
    CHECK(demand_of({0, 2'500'000, 2'500'000, 0}) == Money(2'500'000));
}

TEST_CASE("10 kW in a quarter of an hour at 0.25", "[check:quarter-hour-demand]") {
    const Instant noon = sys_days{2026_y / 1 / 15} + 18h;
    const account::Metered use{.taken = {{{noon, noon + 15min}, MilliwattHours(2'500'000)}}, .given = {}};
    CHECK(text_of(bill(tariff_of("quarter-hour-demand"), month(2026, 1), use)) ==
          "demand 10 x 0.25 = 2.50; total 2.50");
}

TEST_CASE("a credit on net use turns into a charge below nothing", "[check:baseline-credit]") {
    const auto tariff = tariff_of("baseline-credit");
    const auto net = [&](std::int64_t taken, std::int64_t given) {
        account::Typed use = total(taken);
        use.given = {{"", MilliwattHours(given)}};
        return bill(tariff, month(2026, 1), use).total;
    };
    CHECK(net(750'000'000, 0) == Money(-50'000'000));
    CHECK(net(250'000'000, 0) == Money(-25'000'000));
    CHECK(net(300'000'000, 400'000'000) == Money(10'000'000));
}

TEST_CASE("45 days are one and a half months of 30", "[check:thirty-day-proration]") {
    const auto made = bill(tariff_of("thirty-day-blocks"), days_from_new_year(45), total(400'000'000));
    CHECK(made.lines.at(0).quantity == 300'000'000);
    // 300 x 0.218 + 100 x 0.334 = 98.80
    CHECK(made.total == Money(98'800'000));
}

TEST_CASE("Goodland: 1,000 kWh and 15", "[check:goodland-bill]") {
    CHECK(bill(tariff_of("flat-with-charge"), month(2026, 1), total(1'000'000'000)).total ==
          Money(142'000'000));
}

TEST_CASE("JCPB: 9975 less 8865", "[check:jcpb-bill]") {
    CHECK(text_of(bill(tariff_of("register-reading"), month(2026, 1), total((9975 - 8865) * 1'000'000LL))) ==
          "energy 1110 x 0.0951 = 105.56; customer charge = 18.48; total 124.04");
}

TEST_CASE("a capacity charge by the utility's own figure and its factors", "[check:capacity-charge]") {
    account::Terms terms;
    terms.given_peak = Milliwatts(1'000'000);
    CHECK(bill(tariff_of("capacity"), month(2025, 7), total(0), terms).total == Money(7'870'117));
    terms.given_peak = Milliwatts(100'000'000);
    // 787.011708336, to six decimals
    CHECK(bill(tariff_of("capacity"), month(2025, 7), total(0), terms).total == Money(787'011'708));
}
