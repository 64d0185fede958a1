// A charging session: what its register counted, laid on prices, with what else it might have cost.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/account/allocation.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::account {

// Where a session's energy comes from, the best first.
enum class Evidence : std::uint8_t {
    register_by_transaction,  // the equipment's, at begin and end of its own transaction
    register_by_clock,        // the equipment's, at times of ours
    sub_meter,
    house_meter_step,
    typed,
};

// As it happened. Readings may come in any order and more than once; those outside `plugged_in` do not count.
struct SessionFacts {
    Interval plugged_in;  // its end belongs to it
    std::vector<RegisterReading> readings;
    Evidence evidence = Evidence::register_by_transaction;
};

struct Session {
    Interval plugged_in;
    Evidence evidence = Evidence::register_by_transaction;
    WattHours energy;     // the parts' sum
    WattHours uncertain;  // of it, at most, may lie at another price
    WattHours uncounted;  // may have flowed besides, at most, where a register broke off
    int resets = 0;
    int rollovers = 0;
    int breaks = 0;
    int dropped = 0;
    std::vector<CostPart> parts;
    std::optional<Money> at_once = {};      // at full current from plugging in
    std::optional<Money> plain_timer = {};  // at full current from the timer's start
    friend bool operator==(const Session&, const Session&) = default;

    [[nodiscard]] Money cost() const { return rounded(cost_of(parts), 6); }
};

// REQUIRES: prices over plugged_in; rules.most > 0.
[[nodiscard]] Session settle(const SessionFacts& facts, const RegisterRules& rules,
                             const tariff::PriceCurve& prices);

// What energy at full power costs from `start` on; none where the prices end sooner. REQUIRES: power > 0,
// energy ≥ 0, `start` within the prices.
struct FullCurrent {
    WattHours energy;
    Watts power;
};
[[nodiscard]] std::optional<Money> cost_from(Instant start, const FullCurrent& charge,
                                             const tariff::PriceCurve& prices);

// When a plain timer would have begun: at the household's own time of day by `clock`; without one at the
// first hour of the cheapest price within 24 h, at once where that is now. REQUIRES: `plugged_in` within the
// prices and the clock's known time.
[[nodiscard]] Instant plain_timer_start(Instant plugged_in, std::optional<Seconds> own, const Zone& clock,
                                        const tariff::PriceCurve& prices);

// What went past the register outside of sessions: from each one's last reading to the next one's first.
// Readings of one register; ascending sessions. Nothing where it does not rise.
[[nodiscard]] WattHours between_sessions(const std::vector<std::vector<RegisterReading>>& sessions);

}  // namespace lullwatt::account
