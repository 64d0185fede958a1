// A month's sessions out of the ledger, with what the cars were of its bills.
//
// Pure functions over plain values and one reader; not safe to use from several threads at once.
#pragma once

#include <vector>

#include "core/account/month.hpp"
#include "io/household/household.hpp"
#include "io/ledger/reader.hpp"

namespace lullwatt::io {

struct MonthReport {
    account::Month month;
    std::vector<ledger::StoredSession> sessions;  // month.sessions index these
    ledger::Head head;
    std::size_t unsettled = 0;  // transactions of the month that are no session yet
    std::size_t elsewhere = 0;  // sessions at points that the site has no more: at the price of their hour
    WattHours between;          // went past registers between the month's sessions
    bool cars_alone = false;    // blocks, demand or a minimum, and the house's own use is not known
    bool house_from_amperes = false;  // its own use counts at the nominal voltage
    bool provisional = false;         // the month is not over
};

// The month is the calendar's, by the clock of the site's first contract. Faults: the ledger cannot be read;
// a tariff has no price for some of the month; the month is outside the clocks' known time.
[[nodiscard]] Read<MonthReport> month_report(ledger::Reader& reader, const Household& household,
                                             date::year_month month, Instant now);

}  // namespace lullwatt::io
