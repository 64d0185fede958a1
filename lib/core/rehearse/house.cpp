#include "core/rehearse/house.hpp"

#include <algorithm>
#include <cstdlib>

namespace lullwatt::rehearse {
namespace {

using std::chrono::hours;
using std::chrono::minutes;

// Usual appliances at 240 V across both legs, the kettle at 120 V on one: common practice, no source.
constexpr site::LegAmps on_both(double amps) { return {Amps(amps), Amps(amps), Amps(0)}; }
constexpr site::LegAmps kOven = on_both(20);
constexpr site::LegAmps kDryer = on_both(22);
constexpr site::LegAmps kWaterHeater = on_both(18.75);
constexpr site::LegAmps kHeatPump = on_both(12);
constexpr site::LegAmps kHeatPumpInrush = on_both(30);
constexpr site::LegAmps kBackupHeat = on_both(20);
constexpr site::LegAmps kKettle = {Amps(12.5), Amps(0), Amps(0)};

Seconds some_minutes(Random& random, int least, int most) { return minutes{random.between(least, most)}; }

// Days from the coldest, in the middle of January.
int days_from_cold(int day_of_year) {
    const int away = std::abs(day_of_year - 15);
    return std::min(away, 365 - away);
}

void add_heating(std::vector<LoadRun>& runs, Random& random, Seconds midnight, int day_of_year) {
    const int away = days_from_cold(day_of_year);
    if (away > 120) return;
    const Seconds on = minutes{18 - away / 10};
    runs.push_back({midnight, midnight + hours{24}, kHeatPump, on, minutes{6 + away / 10}, kHeatPumpInrush});
    const bool cold_snap = random.percent(away < 45 ? 40 : 5);
    if (!cold_snap) return;
    const Seconds morning = midnight + hours{6} + some_minutes(random, -30, 30);
    runs.push_back({morning, morning + hours{2}, kBackupHeat, minutes{10}, minutes{5}});
    const Seconds evening = midnight + hours{17} + some_minutes(random, 0, 120);
    runs.push_back({evening, evening + hours{3}, kBackupHeat, minutes{12}, minutes{4}});
}

}  // namespace

site::LegAmps draw(std::span<const LoadRun> runs, Seconds at) {
    site::LegAmps sum{};
    for (const LoadRun& run : runs) {
        if (at < run.begin || at >= run.end) continue;
        const Seconds into = (at - run.begin) % (run.on + run.off);
        if (into >= run.on) continue;
        for (std::size_t leg = 0; leg < sum.size(); ++leg) {
            sum[leg] += run.amps[leg];
            if (into == Seconds{0}) sum[leg] += run.inrush[leg];
        }
    }
    return sum;
}

std::vector<LoadRun> household_day(Random& random, Seconds midnight, int day_of_year) {
    std::vector<LoadRun> runs;
    for (int quarter = 0; quarter < 96; ++quarter) {  // what is always on wanders between 2 and 5 A
        const Seconds begin = midnight + minutes{15 * quarter};
        const auto tenths = [&random] { return Amps(random.between(20, 50) * 0.1); };
        const Amps first = tenths();
        runs.push_back({begin, begin + minutes{15}, {first, tenths(), Amps(0)}});
    }
    const auto begins = [&](int hour, int spread) {
        return midnight + hours{hour} + some_minutes(random, 0, spread);
    };
    for (const int hour : {7, 9, 13, 16, 21}) {
        const Seconds at = begins(hour, 59);
        if (random.percent(70)) runs.push_back({at, at + some_minutes(random, 2, 4), kKettle});
    }
    const Seconds shower = begins(6, 60);
    runs.push_back({shower, shower + some_minutes(random, 20, 50), kWaterHeater});
    const Seconds bath = begins(19, 120);
    if (random.percent(75)) runs.push_back({bath, bath + some_minutes(random, 15, 45), kWaterHeater});
    if (random.percent(65)) {
        const Seconds heating_up = begins(17, 75);
        const Seconds hot = heating_up + minutes{12};
        runs.push_back({heating_up, hot, kOven});
        runs.push_back({hot, hot + some_minutes(random, 20, 60), kOven, Seconds{40}, Seconds{60}});
    }
    if (random.percent(40)) {
        const Seconds at = begins(18, 180);
        runs.push_back({at, at + some_minutes(random, 40, 70), kDryer, minutes{5}, minutes{1}, on_both(8)});
    }
    add_heating(runs, random, midnight, day_of_year);
    return runs;
}

}  // namespace lullwatt::rehearse
