// What holds for any tariff and any use.
#include <algorithm>
#include <rapidcheck.h>

#include "core/account/cars_part.hpp"
#include "core/site/history.hpp"
#include "io/csv/interval_csv.hpp"
#include "support/catch.hpp"

using namespace lullwatt;
using namespace std::chrono_literals;
using account::DateSpan;
using account::Metered;
using date::operator""_y;
using date::sys_days;
using tariff::BlockCharge;
using tariff::DemandCharge;

namespace {

constexpr DateSpan kDays{2026_y / 3 / 20, 2026_y / 4 / 20};  // over a change of revision and of season

Rate any_rate(std::int64_t least = -200'000) {
    return Rate(*rc::gen::inRange<std::int64_t>(least, 500'000) * 1'000'000);
}

tariff::Percentage any_percentage(const std::string& name) {
    return {name, *rc::gen::inRange<std::int64_t>(-50'000, 200'000), {}, *rc::gen::arbitrary<bool>()};
}

tariff::Revision any_revision(CivilDate from) {
    tariff::Revision revision{.from = from};
    revision.windows = {{.name = "night", .from = 22h, .to = 6h, .rate = any_rate()},
                        {.name = "summer", .seasons = {1}, .rate = any_rate()},
                        {.name = "rest", .rate = any_rate()}};
    revision.adders = {{"all", any_rate()}, {.name = "night part", .rate = any_rate(), .windows = {"night"}}};
    if (*rc::gen::arbitrary<bool>()) {
        BlockCharge block{.name = "tier", .per = *rc::gen::element(tariff::Per::bill, tariff::Per::day)};
        block.over =
            *rc::gen::element(BlockCharge::Over::bill, BlockCharge::Over::day, BlockCharge::Over::year);
        block.steps = {{MilliwattHours(*rc::gen::inRange(1, 50) * 1'000'000), any_rate()}, {{}, any_rate()}};
        revision.blocks = {block};
    }
    if (*rc::gen::arbitrary<bool>()) {
        DemandCharge demand{.name = "peak", .interval = *rc::gen::element(Seconds{15min}, Seconds{60min})};
        demand.rolling = *rc::gen::arbitrary<bool>();
        demand.highest_of = *rc::gen::inRange(1, 4);
        demand.steps = {{{}, DemandRate(*rc::gen::inRange<std::int64_t>(0, 20'000) * 1'000'000'000)}};
        revision.demand = {demand};
    }
    if (*rc::gen::arbitrary<bool>()) revision.fixed = {{.name = "basic", .amount = Money(9'750'000)}};
    if (*rc::gen::arbitrary<bool>()) revision.riders = {any_percentage("rider")};
    if (*rc::gen::arbitrary<bool>()) revision.taxes = {any_percentage("city"), any_percentage("state")};
    if (*rc::gen::arbitrary<bool>()) revision.minimums = {{.name = "least", .amount = Money(40'000'000)}};
    return revision;
}

tariff::Tariff any_tariff() {
    tariff::Tariff tariff{.name = "any", .currency = "USD"};
    tariff.seasons = {{"winter", {date::October / 1, date::March / 31}},
                      {"summer", {date::April / 1, date::September / 30}}};
    tariff.revisions = {any_revision(2020_y / 1 / 1), any_revision(2026_y / 4 / 5)};
    tariff.rounding.lines = *rc::gen::element(tariff::LineRounding::nearest, tariff::LineRounding::exact);
    return tariff;
}

EnergySeries any_use(Seconds step) {
    EnergySeries series;
    for (Instant at = sys_days{kDays.from}; at < sys_days{kDays.to}; at += step)
        series.push_back({{at, at + step}, MilliwattHours(*rc::gen::inRange<std::int64_t>(0, 2'000'000))});
    return series;
}

// A night's charge of some quarters.
EnergySeries any_session(int day) {
    EnergySeries session;
    Instant at = sys_days{kDays.from} + day * 24h + 15min * *rc::gen::inRange(0, 60);
    const int quarters = *rc::gen::inRange(1, 12);
    for (int i = 0; i < quarters; ++i, at += 15min)
        session.push_back({{at, at + 15min}, MilliwattHours(*rc::gen::inRange<std::int64_t>(0, 1'500'000))});
    return session;
}

account::Bill made(const tariff::Tariff& tariff, const Metered& use) {
    auto bill = account::bill(tariff, Zone::fixed(0h), kDays, use, {}, {});
    RC_ASSERT(std::holds_alternative<account::Bill>(bill));
    return std::get<account::Bill>(std::move(bill));
}

}  // namespace

TEST_CASE("a bill's lines sum to its total, and its windows to what was taken") {
    REQUIRE(rc::check([] {
        const auto tariff = any_tariff();
        const auto bill = made(tariff, {any_use(1h), {}});
        Money sum;
        MilliwattHours energy;
        for (const auto& line : bill.lines) {
            sum += line.amount;
            if (line.part == tariff::Part::adder && line.name == "all")
                energy += MilliwattHours(line.quantity);
        }
        RC_ASSERT(sum == bill.total);
        RC_ASSERT(energy == bill.taken);
    }));
}

TEST_CASE("splitting readings leaves the bill as it is, but for demand intervals longer than a reading") {
    REQUIRE(rc::check([] {
        auto tariff = any_tariff();
        for (auto& revision : tariff.revisions) revision.demand.clear();
        const EnergySeries hours = any_use(1h);
        EnergySeries split;
        for (const auto& reading : hours) {
            // A part that is the reading's own even share, so that energy is where it was.
            const std::int64_t first = static_cast<std::int64_t>(nearest_quotient(reading.energy.count(), 2));
            const Instant middle = reading.when.begin + 30min;
            split.push_back({{reading.when.begin, middle}, MilliwattHours(first)});
            split.push_back({{middle, reading.when.end}, MilliwattHours(reading.energy.count() - first)});
        }
        const auto whole = made(tariff, {hours, {}});
        const auto parts = made(tariff, {split, {}});
        RC_ASSERT(whole.total == parts.total);
        RC_ASSERT(whole.lines.size() == parts.lines.size());
    }));
}

TEST_CASE(
    "five-minute readings of the same energy cost what the hours cost where prices change on the hour") {
    REQUIRE(rc::check([] {
        auto tariff = any_tariff();
        for (auto& revision : tariff.revisions) revision.demand.clear();
        EnergySeries hours;
        EnergySeries fine;
        for (Instant at = sys_days{kDays.from}; at < sys_days{kDays.to}; at += 1h) {
            MilliwattHours sum;
            for (int i = 0; i < 12; ++i) {
                const MilliwattHours energy(*rc::gen::inRange<std::int64_t>(0, 200'000));
                fine.push_back({{at + 5min * i, at + 5min * (i + 1)}, energy});
                sum += energy;
            }
            hours.push_back({{at, at + 1h}, sum});
        }
        RC_ASSERT(made(tariff, {hours, {}}).total == made(tariff, {fine, {}}).total);
    }));
}

TEST_CASE("sessions' parts sum to what the cars add to the bill, in any order") {
    REQUIRE(rc::check([] {
        const auto tariff = any_tariff();
        std::vector<EnergySeries> sessions;
        const int count = *rc::gen::inRange(1, 6);
        for (int i = 0; i < count; ++i) sessions.push_back(any_session(i * 3));
        Metered use{any_use(15min), {}};
        for (const auto& session : sessions) {
            for (const auto& part : session) {
                const auto at = std::ranges::find(use.taken, part.when, &EnergyReading::when);
                RC_ASSERT(at != use.taken.end());
                at->energy += part.energy;
            }
        }
        const auto part_of = [&](const std::vector<EnergySeries>& ordered) {
            const auto part = account::cars_part(tariff, Zone::fixed(0h), kDays, use, ordered, {}, {});
            RC_ASSERT(std::holds_alternative<account::CarsPart>(part));
            return std::get<account::CarsPart>(part);
        };
        const auto part = part_of(sessions);
        MilliwattHours missing;
        const Money whole =
            made(tariff, use).total - made(tariff, account::without(use, sessions, missing)).total;
        RC_ASSERT(missing == MilliwattHours(0));
        Money sum;
        for (const Money money : part.sessions) sum += money;
        RC_ASSERT(part.whole == whole);
        RC_ASSERT(sum == whole);
        std::vector<EnergySeries> reversed(sessions.rbegin(), sessions.rend());
        auto again = part_of(reversed).sessions;
        std::ranges::reverse(again);
        RC_ASSERT(again == part.sessions);
    }));
}

TEST_CASE("the same instants printed in another zone make the same bill") {
    REQUIRE(rc::check([] {
        const auto tariff = any_tariff();
        const EnergySeries use = any_use(1h);
        const auto printed = [&](const std::string& offset, Seconds ahead) {
            std::string text = "time,kWh\n";
            for (const auto& reading : use)
                text += date::format("%FT%R", reading.when.begin + ahead) + offset + "," +
                        decimal_text(reading.energy.count(), 6) + "\n";
            io::CsvMap map;
            map.time = {std::size_t{1}};
            map.readings = {{std::size_t{2}, {}}};
            map.label = io::LabelMeans::start;
            auto read = io::read_interval_csv(text, "use.csv", map, Zone::fixed(0h));
            RC_ASSERT(read.ok());
            return made(tariff, {site::totals(read.value().history), {}}).total;
        };
        const auto here = made(tariff, {use, {}}).total;
        RC_ASSERT(printed("Z", 0s) == here);
        RC_ASSERT(printed("+05:30", 5h + 30min) == here);
        RC_ASSERT(printed("-08:00", -8h) == here);
    }));
}
