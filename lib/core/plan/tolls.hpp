// What each step of a plan adds to its regret, in the kind of number a search counts regret in: double, 64 or
// 128 bits.
//
// Pure functions; call from any thread.
#pragma once

#include <cstdint>
#include <cstdlib>
#include <limits>

#include "core/plan/lagrangian.hpp"

namespace lullwatt::plan {

// What an allowed regret of every type but the widest fits, 64 bits, converts in one instruction.
template <class Regret>
Regret narrowed(Wide value) {
    if constexpr (sizeof(Regret) == sizeof(Wide)) return value;
    return static_cast<Regret>(static_cast<std::int64_t>(value));
}

// Above every regret that is allowed, and far from overflow.
template <class Regret>
inline constexpr Regret kDead = std::numeric_limits<Regret>::has_infinity
                                    ? std::numeric_limits<Regret>::infinity()
                                    : static_cast<Regret>(Wide{1} << (8 * sizeof(Regret) - 4));

template <class Regret>
Regret capped(Wide value, Wide allowed) {
    return value > allowed ? kDead<Regret> : narrowed<Regret>(value);
}

// What each step of a plan adds to its regret: its cost above the Lagrangian bound. Never negative.
template <class Regret>
struct Tolls {
    Regret stay_never, stay_off, stop;    // to rest
    Regret start_first, start, carry_on;  // to charge at `base`
    Regret per_ampere = 0;                // for each ampere away from `base`
    int base = 0;
    int toward = 1;   // +1: the other currents lie above base; −1: below
    int reach = 0;    // how many amperes away the allowed regret lets them lie
    int missing = 0;  // how many amperes away the current lies that does not exist; 0: all do

    [[nodiscard]] int lowest() const { return toward > 0 ? base : base - reach; }
};

// What slot t asks. `allowed` bounds how far its currents may lie from the base.
template <class Regret>
[[nodiscard]] Tolls<Regret> tolls_of(const Grid& grid, const Dual& dual, std::size_t t, Regret allowed) {
    constexpr Regret dead = kDead<Regret>;
    const auto within = [most = static_cast<Wide>(allowed)](Wide value) {
        return capped<Regret>(value, most);
    };
    const GridSlot& slot = grid.slots[t];
    const CostToGo& here = dual.to_go[t];
    const CostToGo& next = dual.to_go[t + 1];
    Tolls<Regret> toll{dead, dead, dead, dead, dead, dead};
    if (slot.may_rest) {
        toll.stay_never = within(next.never - here.never);
        toll.stay_off = within(next.off - here.off);
        toll.stop = within(next.off - here.on);
    }
    if (slot.hi > 0) {
        const Wide reduced = slot.cost - dual.multiplier;
        toll.toward = reduced < 0 ? -1 : 1;
        toll.base = reduced < 0 ? slot.hi : slot.lo;
        toll.per_ampere = within((reduced < 0 ? -reduced : reduced) * slot.weight);
        toll.reach = slot.hi - slot.lo;
        if (slot.missing > 0) toll.missing = std::abs(slot.missing - toll.base);
        if (toll.per_ampere > 0) {
            const Regret affordable = allowed / toll.per_ampere;
            if (affordable < static_cast<Regret>(toll.reach)) toll.reach = static_cast<int>(affordable);
            if (toll.reach == 0) toll.per_ampere = 0;  // may be infinite; nothing lies away from base
        }
        const Wide charged = reduced * slot.weight * toll.base + next.on;
        toll.start_first = within(grid.start + charged - here.never);
        toll.start = within(grid.start + charged - here.off);
        toll.carry_on = within(charged - here.on);
    }
    return toll;
}

}  // namespace lullwatt::plan
