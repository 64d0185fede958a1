// Exact counting for plans: energy in thirds of a milliwatt-hour and money in thirds of 1e-18, because a
// whole watt over a whole minute is 50/3 mWh.
//
// Pure functions; call from any thread.
#pragma once

#include <cstdint>
#include <numeric>

#include "core/plan/problem.hpp"
#include "core/quantity/wide.hpp"

namespace lullwatt::plan {

// Rounds towards minus infinity. REQUIRES: divisor > 0.
[[nodiscard]] constexpr Wide floor_quotient(Wide value, Wide divisor) {
    const auto narrow_value = static_cast<std::int64_t>(value);
    const auto narrow_divisor = static_cast<std::int64_t>(divisor);
    if (narrow_value == value && narrow_divisor == divisor)  // a division of 128 bits is a slow call
        return narrow_value / narrow_divisor - (narrow_value % narrow_divisor < 0 ? 1 : 0);
    return value / divisor - (value % divisor < 0 ? 1 : 0);
}

[[nodiscard]] constexpr Wide ceiling_quotient(Wide value, Wide divisor) {
    return -floor_quotient(-value, divisor);
}

[[nodiscard]] inline std::int64_t minutes(const Slot& slot) { return slot.when.length().count() / 60; }

// REQUIRES: not negative. Whole watts never reach where this errs, and lround is a call.
[[nodiscard]] inline std::int64_t whole(Watts power) {
    return static_cast<std::int64_t>(power.count() + 0.5);  // NOLINT(bugprone-incorrect-roundings)
}

// What one ampere brings in a minute, and what a number of milliwatt-hours is, in thirds of a milliwatt-hour.
[[nodiscard]] inline std::int64_t thirds_per_ampere_minute(const Problem& problem) {
    return 50 * whole(problem.per_ampere);
}
[[nodiscard]] constexpr Wide thirds(MilliwattHours energy) { return static_cast<Wide>(energy.count()) * 3; }

// One start in thirds of 1e-18 of the currency.
[[nodiscard]] constexpr Wide start_thirds(Money start_cost) {
    return static_cast<Wide>(start_cost.count()) * 3'000'000'000'000;
}

// What charging loses in a minute, in thirds of a milliwatt-hour.
[[nodiscard]] inline std::int64_t thirds_of_overhead(const Problem& problem) {
    return 50 * whole(problem.overhead);
}

// The overhead a plan counts with: the least, not below what is lost, that shares with an ampere at least a
// twelfth of its watts. Anything finer makes energy so many units that a night's table is too wide.
[[nodiscard]] inline Watts countable_overhead(Watts lost, Watts per_ampere) {
    constexpr std::int64_t kFinest = 12;
    const std::int64_t ampere = whole(per_ampere);
    std::int64_t watts = whole(lost);
    while (ampere > std::gcd(ampere, watts) * kFinest) ++watts;
    return Watts(static_cast<double>(watts));
}

// What both are whole multiples of: the least energy told apart in a minute.
[[nodiscard]] inline std::int64_t thirds_of_a_minute(const Problem& problem) {
    return std::gcd(thirds_per_ampere_minute(problem), thirds_of_overhead(problem));
}

// Rounded down: what is delivered is never overstated, and a shortfall never understated.
[[nodiscard]] constexpr MilliwattHours whole_energy(Wide thirds) {
    return MilliwattHours(static_cast<std::int64_t>(floor_quotient(thirds, 3)));
}
[[nodiscard]] constexpr ExactAmount whole_amount(Wide thirds) {
    return ExactAmount(floor_quotient(thirds, 3));
}

// The greatest current there is that is not above `cap`.
[[nodiscard]] inline WholeAmps at_most(const Problem& problem, WholeAmps cap) {
    return cap == problem.missing ? cap - WholeAmps(1) : cap;
}

// The same problem with `missing` neither the least nor the most of any slot.
// Everything of this folder below solve() asks for it.
[[nodiscard]] inline Problem settable(Problem problem) {
    if (problem.least == problem.missing) problem.least = problem.least + WholeAmps(1);
    for (Slot& slot : problem.slots) slot.most = at_most(problem, slot.most);
    for (TaperStep& step : problem.taper) {  // below `least` the battery sets the current, not the pilot
        if (step.most > problem.least) step.most = at_most(problem, step.most);
    }
    return problem;
}

[[nodiscard]] inline bool dearer_than_cap(const Problem& problem, const Slot& slot) {
    return problem.price_cap && slot.price > *problem.price_cap;
}

[[nodiscard]] inline bool usable(const Problem& problem, const Slot& slot) {
    return slot.most >= problem.least && slot.when.begin < slot.when.end;
}

}  // namespace lullwatt::plan
