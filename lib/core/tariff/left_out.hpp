// What a tariff charges for that a price curve does not hold as it is.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include "core/tariff/tariff.hpp"
#include "core/time/zone.hpp"

namespace lullwatt::tariff {

struct LeftOut {
    bool blocks = false;  // a price that depends on how much was used before: the dearest step is taken
    bool demand = false;  // a charge for the power reached: it is not counted
};

// Of the charges in force at some time of `span`. `clock` is the tariff's own. REQUIRES: span not empty,
// within clock.known(), and all of it is priced.
[[nodiscard]] LeftOut left_out(const Tariff& tariff, const Zone& clock, Interval span);

}  // namespace lullwatt::tariff
