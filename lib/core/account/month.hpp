// A month of sessions: kilowatt-hours by price, what each session is of the bill, and what else it might have
// cost.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "core/account/cars_part.hpp"
#include "core/account/session.hpp"

namespace lullwatt::account {

struct PriceTotal {
    std::string price;
    WattHours energy;
    Money cost;  // by the hour's price, all percentages in
};

// What a session is of the month: of one over midnight of the first, its part.
struct SessionShare {
    std::size_t session = 0;  // index into the sessions asked about
    WattHours energy;
    WattHours uncertain;
    Money cost;
    Money at_once;
    Money plain_timer;
    bool compared = false;  // both of the last two are known
};

struct Month {
    Interval when;
    std::vector<PriceTotal> prices;  // dearest kilowatt-hour last
    std::vector<SessionShare> sessions;
    WattHours energy;
    WattHours uncertain;
    Money beyond;       // what of the total is no price by the hour: blocks, demand, rounding of lines
    Money total;        // the cars' part of the bills; prices and `beyond` sum to it, and so do the sessions
    Money at_once;      // of the sessions compared
    Money plain_timer;  // of the sessions compared
    Money compared;     // what those sessions cost by the hour's price
    WattHours uncompared;
    bool assumed = false;
};

// `billed`: one per contract, sessions in the same order, those it does not bill at 0. `digits`: of the
// currency's minor unit, to which costs are shared out so that they sum. REQUIRES: 0 ≤ digits ≤ 6.
[[nodiscard]] Month month_of(Interval when, const std::vector<Session>& sessions,
                             const std::vector<CarsPart>& billed, int digits);

// What one meter would have recorded of all of them, in order and without overlaps.
[[nodiscard]] EnergySeries sum_of(const std::vector<EnergySeries>& sessions);

}  // namespace lullwatt::account
