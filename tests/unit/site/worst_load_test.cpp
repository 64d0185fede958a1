#include "core/site/worst_load.hpp"

#include "support/catch.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace lullwatt::site;
using namespace std::chrono_literals;
using tests::halifax;
using tests::row;
using tests::utc;

namespace {

const LegSplit kTwoLegs{{Leg::L1, Leg::L2}, Volts(120)};

LegAmps amps(double l1, double l2) { return {Amps(l1), Amps(l2), Amps(0)}; }

// 365 days of readings of this length from 2025-11-01 by the clock, 1 A on L1 and 2 A on L2.
MeterHistory year_of(Seconds length, date::days days = date::days{365}) {
    MeterHistory history{"house", {Leg::L1, Leg::L2}, {}};
    const Instant end = utc(2026, 11, 1, 3h);
    const std::int64_t watt_hours = 120 * length.count() / 3600;
    for (Instant at = end - days; at < end; at += length) {
        history.rows.push_back(row(at, length, {watt_hours, 2 * watt_hours}));
    }
    return history;
}

HistoryRow& reading_at(MeterHistory& history, Instant at) {
    return *std::ranges::find(history.rows, at, [](const HistoryRow& r) { return r.when.begin; });
}

WorstLoad worst_of(const MeterHistory& history, std::vector<StatedLoad> loads = {},
                   std::optional<StatedWorst> stated = {}) {
    return worst_load({&history, kTwoLegs, std::move(loads), std::move(stated), amps(88, 99)}, halifax());
}

}  // namespace

TEST_CASE("the worst hour is its highest mean, times what the mean's length hides") {
    struct Length {
        Seconds seconds;
        double factor;
    };
    const auto length = GENERATE(Length{15min, 1.25}, Length{30min, 1.6}, Length{1h, 1.6});
    MeterHistory history = year_of(length.seconds);
    const Instant peak = utc(2026, 1, 14, 22h);  // 18:00 by the clock
    reading_at(history, peak).energy[1] = WattHours(40 * 120 * length.seconds.count() / 3600);

    const WorstLoad worst = worst_of(history);
    CHECK(worst.lack == HistoryLack::none);
    CHECK(worst.least_covered == 1.0);
    CHECK(worst.at(Leg::L2, 18).count() == Approx(40 * length.factor));
    CHECK(worst.origin[18][1].source == WorstSource::history);
    CHECK(worst.origin[18][1].reading.begin == peak);
    CHECK(worst.origin[18][1].factor == length.factor);
    CHECK(worst.at(Leg::L2, 17).count() == Approx(2 * length.factor));
    CHECK(worst.at(Leg::L1, 18).count() == Approx(1 * length.factor));
    CHECK(worst.at(Leg::L3, 18) == Amps(0));
    CHECK(worst.greatest(Leg::L2).count() == Approx(40 * length.factor));
}

TEST_CASE("a minute's mean hides nothing, more than an hour's everything") {
    CHECK(peak_factor(1s) == 1.0);
    CHECK(peak_factor(60s) == 1.0);
    CHECK(peak_factor(61s) == 1.25);
    CHECK(peak_factor(15min) == 1.25);
    CHECK(peak_factor(901s) == 1.6);
    CHECK(peak_factor(1h) == 1.6);
    CHECK_FALSE(peak_factor(3601s).has_value());
}

TEST_CASE("a reading counts in every clock hour it touches") {
    MeterHistory history{"house", {Leg::L1, Leg::L2}, {}};
    const Instant end = utc(2026, 11, 1, 3h) + 30min;
    for (Instant at = end - date::days{365}; at < end; at += 1h)
        history.rows.push_back(row(at, 1h, {120, 240}));
    reading_at(history, utc(2026, 1, 14, 22h) + 30min).energy[0] = WattHours(1200);
    const WorstLoad worst = worst_of(history);
    CHECK(worst.at(Leg::L1, 18).count() == Approx(16.0));
    CHECK(worst.at(Leg::L1, 19).count() == Approx(16.0));
    CHECK(worst.at(Leg::L1, 17).count() == Approx(1.6));
}

TEST_CASE("only the last twelve months count") {
    MeterHistory history = year_of(1h, date::days{400});
    reading_at(history, utc(2026, 11, 1, 3h) - date::days{366}).energy[0] = WattHours(12000);
    CHECK(worst_of(history).greatest(Leg::L1).count() == Approx(1.6));
}

TEST_CASE("the largest stated load of a leg counts in every hour") {
    const MeterHistory history = year_of(15min);
    const WorstLoad worst = worst_of(history, {{"range", amps(40, 40)}, {"kiln", amps(0, 45)}});
    CHECK(worst.at(Leg::L1, 3) == Amps(40));
    CHECK(worst.at(Leg::L2, 3) == Amps(45));
    CHECK(worst.origin[3][1].source == WorstSource::stated_load);
    CHECK(worst.origin[3][1].words == "kiln");
}

TEST_CASE("without twelve months a stated figure holds, else the load calculation") {
    MeterHistory history = year_of(1h);
    const auto lacks = [&](HistoryLack lack) {
        const WorstLoad worst = worst_of(history);
        CHECK(worst.lack == lack);
        CHECK(worst.by_hour[5] == amps(88, 99));
        CHECK(worst.origin[5][0].source == WorstSource::load_calculation);
        const WorstLoad stated = worst_of(history, {}, StatedWorst{amps(60, 50), "a clamp for a winter"});
        CHECK(stated.by_hour[5] == amps(60, 50));
        CHECK(stated.origin[5][0].source == WorstSource::stated_worst);
        CHECK(stated.origin[5][0].words == "a clamp for a winter");
    };
    SECTION("none at all") {
        history.rows.clear();
        lacks(HistoryLack::no_history);
        CHECK(worst_load({nullptr, kTwoLegs, {}, {}, amps(1, 1)}, halifax()).lack == HistoryLack::no_history);
    }
    SECTION("an hour short of 365 days") {
        history.rows.erase(history.rows.begin());
        lacks(HistoryLack::too_short);
    }
    SECTION("an hour of the day less than 95 % covered, though all hours together are") {
        int dropped = 0;
        std::erase_if(history.rows, [&](const HistoryRow& r) {
            return halifax().civil(r.when.begin).time_since_epoch() % 24h == 18h && ++dropped <= 19;
        });
        CHECK(history.rows.size() == 8760 - 19);
        lacks(HistoryLack::gaps);
    }
    SECTION("estimated readings cover nothing") {
        for (std::size_t i = 1000; i < 1500; ++i) history.rows[i].quality = Quality::estimated;
        lacks(HistoryLack::gaps);
    }
    SECTION("daily readings") {
        history = year_of(24h);
        lacks(HistoryLack::too_coarse);
    }
    SECTION("the largest stated load still counts") {
        history.rows.clear();
        CHECK(worst_of(history, {{"kiln", amps(90, 0)}}).by_hour[0] == amps(90, 99));
    }
}

TEST_CASE("95 % of every hour is twelve months enough") {
    MeterHistory history = year_of(1h);
    int dropped = 0;
    std::erase_if(history.rows, [&](const HistoryRow& r) {
        return halifax().civil(r.when.begin).time_since_epoch() % 24h == 18h && ++dropped <= 18;
    });
    CHECK(worst_of(history).lack == HistoryLack::none);
}

TEST_CASE("export is no relief: it counts 0 and is told") {
    MeterHistory history = year_of(1h);
    for (HistoryRow& reading : history.rows) reading.energy[0] = WattHours(-500);
    const WorstLoad worst = worst_of(history);
    CHECK(worst.greatest(Leg::L1) == Amps(0));
    CHECK(worst.origin[0][0].source == WorstSource::history);
    CHECK(worst.negative_readings == 8760);
}
