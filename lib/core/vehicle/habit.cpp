#include "core/vehicle/habit.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace lullwatt::vehicle {

const Habit* habit_on(const std::vector<Habit>& habits, CivilDate date) {
    const unsigned weekday = date::weekday{date::local_days{date}}.c_encoding();
    const auto found = std::ranges::find_if(habits, [&](const Habit& habit) { return habit.days[weekday]; });
    return found == habits.end() ? nullptr : &*found;
}

WattHours battery_use(const Car& car, const Habit& habit) {
    assert(car.per_100_km);
    return WattHours(
        std::llround(habit.distance.count() / 100 * static_cast<double>(car.per_100_km->count())));
}

std::optional<CivilDate> runs_short_on(const Car& car, const std::vector<Habit>& habits, WattHours charge,
                                       CivilDate from) {
    const date::local_days first{from};
    for (date::local_days day = first; day < first + date::days{14}; day += date::days{1}) {
        const Habit* habit = habit_on(habits, CivilDate{day});
        if (habit == nullptr) continue;
        charge -= battery_use(car, *habit);
        if (charge < WattHours(0)) return CivilDate{day};
    }
    return std::nullopt;
}

std::vector<Outing> outings(const Car& car, const std::vector<Habit>& habits, const Zone& zone,
                            Interval span) {
    std::vector<Outing> found;
    const auto first = date::floor<date::days>(zone.civil(span.begin));
    const auto last = date::floor<date::days>(zone.civil(span.end));
    for (auto day = first; day <= last; day += date::days{1}) {
        const Habit* habit = habit_on(habits, CivilDate{day});
        if (habit == nullptr) continue;
        const Interval when{zone.instant(day + habit->leaves), zone.instant(day + habit->returns)};
        if (span.begin < when.begin && when.begin < span.end)
            found.push_back({when, battery_use(car, *habit)});
    }
    return found;
}

}  // namespace lullwatt::vehicle
