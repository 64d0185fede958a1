// What a car's household usually does: when it leaves, when it is back, and what it drives.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "core/time/instant.hpp"
#include "core/time/zone.hpp"
#include "core/vehicle/car.hpp"

namespace lullwatt::vehicle {

struct Habit {
    std::array<bool, 7> days{};  // Sunday first
    Seconds leaves{0};           // time of day
    Seconds returns{0};          // later the same day
    Kilometres distance;
};

// The habit of a date; of two the first. Null where it has none.
[[nodiscard]] const Habit* habit_on(const std::vector<Habit>& habits, CivilDate date);

// What a day of this habit takes out of the battery. REQUIRES: car.per_100_km.
[[nodiscard]] WattHours battery_use(const Car& car, const Habit& habit);

// The first date from `from` on whose habit takes more than is left of `charge`. Empty when two weeks do not.
// REQUIRES: car.per_100_km.
[[nodiscard]] std::optional<CivilDate> runs_short_on(const Car& car, const std::vector<Habit>& habits,
                                                     WattHours charge, CivilDate from);

// One time out.
struct Outing {
    Interval when;
    WattHours battery_use;
};

// The outings that begin within `span`, at its begin not, by the site's clock. REQUIRES: car.per_100_km where
// there are habits.
[[nodiscard]] std::vector<Outing> outings(const Car& car, const std::vector<Habit>& habits, const Zone& zone,
                                          Interval span);

}  // namespace lullwatt::vehicle
