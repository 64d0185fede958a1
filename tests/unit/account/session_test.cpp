#include "core/account/session.hpp"

#include "core/account/month.hpp"
#include "support/catch.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using account::CostPart;
using account::Session;
using account::SessionFacts;
using tests::utc;

namespace {

constexpr account::RegisterRules k20A{.most = Watts(4800)};
constexpr Rate kDay{200'000'000'000};
constexpr Rate kNight{100'000'000'000};

// Day from 07:00 to 23:00 UTC at 0.20, night at 0.10; with 15 % tax.
tariff::PriceCurve prices() {
    tariff::PriceCurve curve;
    for (int day = 18; day < 31; ++day) {
        curve.push_back(
            {{utc(2026, 10, day, 7h), utc(2026, 10, day, 23h)}, kDay, Rate(230'000'000'000), "day"});
        curve.push_back(
            {{utc(2026, 10, day, 23h), utc(2026, 10, day, 31h)}, kNight, Rate(115'000'000'000), "night"});
    }
    return curve;
}

SessionFacts evening(std::vector<account::RegisterReading> readings) {
    return {{utc(2026, 10, 20, 18h), utc(2026, 10, 21, 7h)}, std::move(readings)};
}

}  // namespace

TEST_CASE("a reading on the change of price leaves nothing uncertain") {
    const Session session = account::settle(evening({{utc(2026, 10, 20, 22h), WattHours(1'000)},
                                                     {utc(2026, 10, 20, 23h), WattHours(2'000)},
                                                     {utc(2026, 10, 20, 24h), WattHours(6'000)}}),
                                            k20A, prices());
    REQUIRE(session.energy == WattHours(5'000));
    REQUIRE(session.uncertain == WattHours(0));
    REQUIRE(session.cost() == Money(230'000 + 460'000));
    REQUIRE(session.parts.front().price == "day");
    REQUIRE(session.parts.back().price == "night");
}

TEST_CASE("without a reading there energy is spread evenly, and what may lie elsewhere is told") {
    const Session session = account::settle(
        evening({{utc(2026, 10, 20, 22h), WattHours(1'000)}, {utc(2026, 10, 20, 24h), WattHours(5'000)}}),
        k20A, prices());
    REQUIRE(account::energy_of(account::within(
                session.parts, {utc(2026, 10, 20, 22h), utc(2026, 10, 20, 23h)})) == WattHours(2'000));
    REQUIRE(session.energy == WattHours(4'000));
    // All 4,000 Wh fit into either hour, so 2,000 may lie on the other side.
    REQUIRE(session.uncertain == WattHours(2'000));
    SECTION("a reading two seconds late is as good as on time: so much can flow in them") {
        const Session late = account::settle(evening({{utc(2026, 10, 20, 22h), WattHours(1'000)},
                                                      {utc(2026, 10, 20, 23h + 2s), WattHours(4'000)},
                                                      {utc(2026, 10, 20, 24h), WattHours(8'000)}}),
                                             k20A, prices());
        REQUIRE(late.uncertain == WattHours(2));
    }
}

TEST_CASE("energy is cut at quarters of an hour too, for charges that go by power") {
    const Session session = account::settle(
        evening({{utc(2026, 10, 20, 22h), WattHours(0)}, {utc(2026, 10, 20, 22h + 30min), WattHours(2'401)}}),
        k20A, prices());
    REQUIRE(session.parts.size() == 2);
    REQUIRE(session.parts[0].when == Interval{utc(2026, 10, 20, 22h), utc(2026, 10, 20, 22h + 15min)});
    REQUIRE(session.parts[0].energy + session.parts[1].energy == WattHours(2'401));
}

TEST_CASE("readings before plugging in or after unplugging are of another session") {
    const Session session = account::settle(evening({{utc(2026, 10, 20, 17h), WattHours(500)},
                                                     {utc(2026, 10, 20, 18h), WattHours(1'000)},
                                                     {utc(2026, 10, 21, 7h), WattHours(1'600)},
                                                     {utc(2026, 10, 21, 8h), WattHours(5'000)}}),
                                            k20A, prices());
    REQUIRE(session.energy == WattHours(600));
}

TEST_CASE("what went past the register between sessions is found by its readings") {
    REQUIRE(
        account::between_sessions({{{utc(2026, 10, 20), WattHours(100)}, {utc(2026, 10, 21), WattHours(900)}},
                                   {},
                                   {{utc(2026, 10, 22), WattHours(950)}, {utc(2026, 10, 23), WattHours(980)}},
                                   {{utc(2026, 10, 24), WattHours(0)}}}) == WattHours(50));
}

TEST_CASE("at once at full current costs the prices from plugging in on") {
    // 9,600 Wh at 4.8 kW: two hours from 22:00, half by day and half by night.
    const account::FullCurrent charge{WattHours(9'600), Watts(4'800)};
    const auto cost = account::cost_from(utc(2026, 10, 20, 22h), charge, prices());
    REQUIRE(cost.has_value());
    REQUIRE(cost.value_or(Money(0)).count() == Approx(4'800 * 230 + 4'800 * 115).epsilon(0.001));
    SECTION("prices that end too early give no figure") {
        REQUIRE_FALSE(account::cost_from(utc(2026, 10, 31, 6h), charge, prices()).has_value());
    }
    SECTION("nothing costs nothing") {
        const auto nothing =
            account::cost_from(utc(2026, 10, 20, 22h), {WattHours(0), Watts(4'800)}, prices());
        REQUIRE(nothing == Money(0));
    }
}

TEST_CASE("a plain timer begins at its own time, else with the cheapest price") {
    const Zone zone = tests::halifax();  // UTC−3 that week
    REQUIRE(account::plain_timer_start(utc(2026, 10, 20, 18h), 21h, zone, prices()) == utc(2026, 10, 21, 0h));
    REQUIRE(account::plain_timer_start(utc(2026, 10, 21, 1h), 21h, zone, prices()) == utc(2026, 10, 22, 0h));
    REQUIRE(account::plain_timer_start(utc(2026, 10, 20, 18h), {}, zone, prices()) == utc(2026, 10, 20, 23h));
    REQUIRE(account::plain_timer_start(utc(2026, 10, 20, 23h + 30min), {}, zone, prices()) ==
            utc(2026, 10, 20, 23h + 30min));
}

TEST_CASE("shares of an amount sum to it, the largest remainders first") {
    const auto atto = [](std::int64_t micro) { return ExactAmount(Money(micro)); };
    REQUIRE(
        account::shared_out(Money(1'000'000), {atto(333'333), atto(333'334), atto(333'333)}, Money(10'000)) ==
        std::vector{Money(330'000), Money(340'000), Money(330'000)});
    REQUIRE(account::shared_out(Money(-20'000), {atto(-15'000), atto(-4'000)}, Money(10'000)) ==
            std::vector{Money(-20'000), Money(0)});
    REQUIRE(account::shared_out(Money(0), {}, Money(1)).empty());
}

TEST_CASE("a session over midnight of the first is in both months, once") {
    const Session session =
        account::settle({{utc(2026, 10, 30, 18h), utc(2026, 10, 31, 6h)},
                         {{utc(2026, 10, 30, 23h), WattHours(0)}, {utc(2026, 10, 31, 1h), WattHours(4'001)}}},
                        k20A, prices());
    Session compared = session;
    compared.at_once = Money(920'001);
    compared.plain_timer = Money(500'000);
    const Instant first = utc(2026, 10, 31);
    const account::CarsPart nothing{{}, {Money(0)}, {}};
    const auto before = account::month_of({utc(2026, 10, 1), first}, {compared}, {nothing}, 2);
    const auto after = account::month_of({first, utc(2026, 11, 30)}, {compared}, {nothing}, 2);
    REQUIRE(before.energy + after.energy == WattHours(4'001));
    REQUIRE(before.at_once + after.at_once == Money(920'001));
    REQUIRE(before.plain_timer + after.plain_timer == Money(500'000));
    REQUIRE(before.sessions.size() == 1);
}

TEST_CASE("two cars at once are one meter's reading") {
    const Instant begin = utc(2026, 10, 20, 22h);
    const EnergySeries left = {{{begin, begin + 15min}, MilliwattHours(1'001)}};
    const EnergySeries right = {{{begin + 5min, begin + 20min}, MilliwattHours(3'000)}};
    const EnergySeries sum = account::sum_of({left, {}, right});
    REQUIRE(sum.size() == 3);
    REQUIRE(sum[0].when == Interval{begin, begin + 5min});
    REQUIRE(sum[0].energy + sum[1].energy + sum[2].energy == MilliwattHours(4'001));
}
