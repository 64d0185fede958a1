// What holds for any session: parts sum to the whole, whatever order readings come in, however often, and
// whichever are lost.
#include <algorithm>
#include <rapidcheck.h>

#include "core/account/month.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using account::CostPart;
using account::Counted;
using account::RegisterReading;
using account::Session;
using date::operator""_y;
using date::sys_days;

namespace {

constexpr account::RegisterRules k32A{.most = Watts(7'680)};
constexpr account::DateSpan kMonth{2026_y / 10 / 1, 2026_y / 11 / 1};
const Instant kBegin = sys_days{kMonth.from};
const Instant kEnd = sys_days{kMonth.to};

// A tariff by the hour, with whatever rates, adders and taxes; without what depends on more than energy.
tariff::Tariff any_tariff() {
    const auto rate = [] { return Rate(*rc::gen::inRange<std::int64_t>(-50'000, 500'000) * 1'000'000); };
    tariff::Revision revision{.from = 2020_y / 1 / 1};
    revision.windows = {{.name = "night", .from = 22h + 7min, .to = 6h, .rate = rate()},
                        {.name = "rest", .rate = rate()}};
    revision.adders = {{"levy", rate()}};
    revision.taxes = {{"tax", *rc::gen::inRange<std::int64_t>(0, 250'000)}};
    tariff::Tariff tariff{.name = "any", .currency = "USD", .revisions = {revision}};
    tariff.rounding.lines = tariff::LineRounding::exact;
    return tariff;
}

tariff::PriceCurve prices_of(const tariff::Tariff& tariff) {
    const auto curve = tariff::price_curve(tariff, Zone::fixed(0h), {kBegin - 48h, kEnd + 48h});
    RC_ASSERT(std::holds_alternative<tariff::PriceCurve>(curve));
    return std::get<tariff::PriceCurve>(curve);
}

// A register that only rises, no faster than can flow, read at odd times.
std::vector<RegisterReading> any_readings(Instant begin) {
    std::vector<RegisterReading> readings = {{begin, WattHours(*rc::gen::inRange(0, 90'000'000))}};
    const int count = *rc::gen::inRange(1, 60);
    for (int i = 0; i < count; ++i) {
        const Seconds later{*rc::gen::inRange(1, 1'800)};
        const auto most =
            static_cast<std::int64_t>(k32A.most.count() * static_cast<double>(later.count()) / 3600);
        const std::int64_t rise = *rc::gen::inRange<std::int64_t>(0, most + 1);
        readings.push_back({readings.back().at + later, readings.back().value + WattHours(rise)});
    }
    return readings;
}

// As they may arrive: some of those between the first and the last lost, some twice, in any order.
std::vector<RegisterReading> as_received(const std::vector<RegisterReading>& readings) {
    std::vector<RegisterReading> received;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const bool kept = i == 0 || i + 1 == readings.size() || *rc::gen::inRange(0, 4) > 0;
        for (int times = kept ? *rc::gen::inRange(1, 4) : 0; times > 0; --times)
            received.push_back(readings[i]);
    }
    return *rc::gen::map(rc::gen::container<std::vector<int>>(received.size(), rc::gen::inRange(0, 1'000)),
                         [&](const std::vector<int>& keys) {
                             std::vector<std::size_t> order(keys.size());
                             for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
                             std::ranges::stable_sort(order, {}, [&](std::size_t i) { return keys[i]; });
                             std::vector<RegisterReading> shuffled;
                             for (const std::size_t i : order) shuffled.push_back(received[i]);
                             return shuffled;
                         });
}

Session settled(const std::vector<RegisterReading>& readings, const tariff::PriceCurve& prices) {
    const auto [first, last] = std::ranges::minmax_element(readings);
    return account::settle({{first->at, last->at}, readings}, k32A, prices);
}

}  // namespace

TEST_CASE("a session counts its register's difference, under any order, duplication and loss of readings") {
    REQUIRE(rc::check([] {
        const auto readings = any_readings(kBegin + Seconds{*rc::gen::inRange(0, 86'400)});
        const Counted counted = account::count_register(as_received(readings), k32A);
        RC_ASSERT(counted.energy == readings.back().value - readings.front().value);
        WattHours sum;
        for (std::size_t i = 0; i < counted.steps.size(); ++i) {
            sum += counted.steps[i].energy;
            RC_ASSERT(counted.steps[i].energy >= WattHours(0));
            if (i > 0) RC_ASSERT(counted.steps[i - 1].when.end == counted.steps[i].when.begin);
        }
        RC_ASSERT(sum == counted.energy);
        RC_ASSERT(counted.resets + counted.rollovers + counted.breaks == 0);
    }));
}

TEST_CASE("order and duplication of readings change nothing of a session, with resets and wild values too") {
    REQUIRE(rc::check([] {
        auto readings = any_readings(kBegin);
        for (int wild = *rc::gen::inRange(0, 4); wild > 0; --wild) {
            auto& reading = readings[*rc::gen::inRange<std::size_t>(0, readings.size())];
            reading.value = WattHours(*rc::gen::inRange<std::int64_t>(0, 90'000'000));
        }
        auto received = readings;
        received.insert(received.end(), readings.begin(), readings.end());
        std::ranges::reverse(received);
        const Counted once = account::count_register(readings, k32A);
        const Counted again = account::count_register(received, k32A);
        RC_ASSERT(once.steps == again.steps);
        RC_ASSERT(once.energy == again.energy);
        RC_ASSERT(once.uncounted >= WattHours(0));
        for (const auto& step : once.steps) RC_ASSERT(step.energy >= WattHours(0));
    }));
}

TEST_CASE("a session's parts sum to it in watt-hours and money, wherever it is cut") {
    REQUIRE(rc::check([] {
        const auto prices = prices_of(any_tariff());
        const auto readings = any_readings(kBegin + Seconds{*rc::gen::inRange(0, 86'400)});
        const Session session = settled(as_received(readings), prices);
        RC_ASSERT(account::energy_of(session.parts) == readings.back().value - readings.front().value);
        const Instant cut = session.plugged_in.begin + Seconds{*rc::gen::inRange(0, 100'000)};
        const auto before = account::within(session.parts, {kBegin - 48h, cut});
        const auto after = account::within(session.parts, {cut, kEnd + 48h});
        RC_ASSERT(account::energy_of(before) + account::energy_of(after) == session.energy);
        RC_ASSERT(account::cost_of(before) + account::cost_of(after) == account::cost_of(session.parts));
        RC_ASSERT(session.uncertain <= session.energy);
        for (std::size_t i = 0; i < session.parts.size(); ++i) {
            const CostPart& part = session.parts[i];
            const auto& piece = tariff::price_at(prices, part.when.begin);
            RC_ASSERT(part.when.end <= piece.when.end);
            RC_ASSERT(part.marginal == piece.marginal);
            if (i > 0) RC_ASSERT(session.parts[i - 1].when.end <= part.when.begin);
        }
    }));
}

TEST_CASE("what is uncertain bounds how far the truth is from the even spread") {
    REQUIRE(rc::check([] {
        const auto prices = prices_of(any_tariff());
        const Instant change = kBegin + 22h + 7min;
        const auto rise = [](Seconds length) {
            const auto most = k32A.most.count() * static_cast<double>(length.count()) / 3600;
            return WattHours(*rc::gen::inRange<std::int64_t>(0, static_cast<std::int64_t>(most) + 1));
        };
        const Seconds before{*rc::gen::inRange(1, 7'200)};
        const Seconds after{*rc::gen::inRange(1, 7'200)};
        const WattHours by_day = rise(before);
        const WattHours by_night = rise(after);
        const Session seen =
            settled({{change - before, WattHours(0)}, {change + after, by_day + by_night}}, prices);
        const WattHours off =
            account::energy_of(account::within(seen.parts, {change, kBegin + 30h})) - by_night;
        RC_ASSERT(off <= seen.uncertain);
        RC_ASSERT(-off <= seen.uncertain);
    }));
}

TEST_CASE("the sessions of a month sum to the month, and its prices with what goes beyond them") {
    REQUIRE(rc::check([] {
        const auto tariff = any_tariff();
        const auto prices = prices_of(tariff);
        std::vector<Session> sessions;
        std::vector<EnergySeries> series;
        const int count = *rc::gen::inRange(0, 8);
        for (int i = 0; i < count; ++i) {
            // The first and the last may reach over the month's ends.
            const Instant begin = kBegin - 6h + i * 107h;
            Session session = settled(as_received(any_readings(begin)), prices);
            session.at_once = Money(*rc::gen::inRange(0, 9'000'000));
            session.plain_timer = Money(*rc::gen::inRange(0, 9'000'000));
            series.push_back(account::series_of(session.parts));
            sessions.push_back(std::move(session));
        }
        const account::Metered use{account::sum_of(series), {}};
        const auto part = account::cars_part(tariff, Zone::fixed(0h), kMonth, use, series, {}, {});
        RC_ASSERT(std::holds_alternative<account::CarsPart>(part));
        const auto& billed = std::get<account::CarsPart>(part);
        RC_ASSERT(billed.missing == MilliwattHours(0));
        const account::Month month = account::month_of({kBegin, kEnd}, sessions, {billed}, 2);

        Money cost;
        WattHours energy;
        for (const auto& share : month.sessions) {
            cost += share.cost;
            energy += share.energy;
        }
        RC_ASSERT(cost == month.total);
        RC_ASSERT(energy == month.energy);
        Money lines = month.beyond;
        WattHours by_price;
        for (const auto& line : month.prices) {
            lines += line.cost;
            by_price += line.energy;
        }
        RC_ASSERT(lines == month.total);
        RC_ASSERT(by_price == month.energy);
        RC_ASSERT(month.total == billed.whole);
        // With lines left exact only their rounding to 1e-6 and that of the rows to a cent is beyond them.
        RC_ASSERT(month.beyond < Money(5'100));
        RC_ASSERT(Money(-5'100) < month.beyond);
    }));
}

TEST_CASE("the months of a session sum to it, its counterfactuals too") {
    REQUIRE(rc::check([] {
        const auto prices = prices_of(any_tariff());
        const auto readings = any_readings(kEnd - Seconds{*rc::gen::inRange(0, 40'000)});
        Session session = settled(readings, prices);
        RC_PRE(session.energy > WattHours(0));
        session.at_once = Money(*rc::gen::inRange(-9'000'000, 9'000'000));
        session.plain_timer = Money(*rc::gen::inRange(0, 9'000'000));
        const account::CarsPart nothing{{}, {Money(0)}, {}};
        const auto october = account::month_of({kBegin, kEnd}, {session}, {nothing}, 2);
        const auto november = account::month_of({kEnd, kEnd + 720h}, {session}, {nothing}, 2);
        RC_ASSERT(october.energy + november.energy == session.energy);
        RC_ASSERT(october.at_once + november.at_once == *session.at_once);
        RC_ASSERT(october.plain_timer + november.plain_timer == *session.plain_timer);
    }));
}
