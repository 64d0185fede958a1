// How instants, energy, money and reasons are put in words for a person.
//
// Pure functions; call from any thread. One place, so that all commands speak alike.
#pragma once

#include <string>
#include <vector>

#include "core/plan/held.hpp"
#include "core/plan/plan.hpp"
#include "core/quantity/money.hpp"
#include "core/site/site.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::tools {

inline constexpr MilliwattHours kNothing{};

// "23:05"; on the hour a clock repeats, with the zone's letters: "01:30 ADT".
[[nodiscard]] std::string clock_text(const Zone& zone, Instant at);
// "02:30 does not exist that night", "the first of two 01:30 that night"; empty for a label that exists once.
[[nodiscard]] std::string label_note(const Zone& zone, CivilTime label);
// "Wed 23:05".
[[nodiscard]] std::string day_and_clock_text(const Zone& zone, Instant at);
// "Wednesday 14 January 2026".
[[nodiscard]] std::string date_text(CivilDate date);
// "2026-01-14".
[[nodiscard]] std::string day_text(CivilDate date);
// "2026-01-14T23:05:00-04:00": for machines.
[[nodiscard]] std::string iso_text(const Zone& zone, Instant at);
// "18.6 kWh".
[[nodiscard]] std::string energy_text(MilliwattHours energy);
// The same, but "less than 0.1 kWh" for what is above nothing and would read as nothing.
[[nodiscard]] std::string some_energy_text(MilliwattHours energy);
// "A", "A and B", "A, B and 3 others": the first two of `count`. REQUIRES: `parts` has them, and one at
// least.
[[nodiscard]] std::string listed_text(const std::vector<std::string>& parts, std::size_t count);
// "20 A".
[[nodiscard]] std::string amps_text(WholeAmps amps);
// At least as many decimals as the minor unit, more where the amount has them: "2.09", "0.0125".
[[nodiscard]] std::string amount_text(Money amount, int digits);
// An exact amount rounded to the currency's minor unit: "2.09".
[[nodiscard]] std::string cost_text(ExactAmount cost, int digits);
// The same, never above the amount.
[[nodiscard]] std::string cost_at_least_text(ExactAmount cost, int digits);
// A rate per kWh with at least as many decimals as the minor unit: "0.0951".
[[nodiscard]] std::string rate_text(Rate rate, int digits);

// What limits a slot: "headroom of carport feeder, leg L1, beside Plover's 16 A".
[[nodiscard]] std::string bound_text(const plan::Bound& bound, const site::Site& site,
                                     const plan::Holding& held);
// Why a slot carries what it carries, in one clause. `held` is who holds the slot.
[[nodiscard]] std::string why_text(const plan::PlannedSlot& planned, const plan::Slot& slot,
                                   const site::Site& site, const plan::Holding& held);
// How much worse `other` is than `best`, by the first thing that differs: "0.0512 more", "2.3 kWh short
// instead of 0.0 kWh".
[[nodiscard]] std::string worse_text(const plan::Objective& best, const plan::Objective& other);
// The same as one word for machines: "cheapest", "below-minimum".
[[nodiscard]] std::string why_word(plan::Why why);
[[nodiscard]] std::string bound_word(plan::BoundKind kind);

}  // namespace lullwatt::tools
