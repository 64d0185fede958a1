#include "core/account/proration.hpp"

#include <algorithm>
#include <numeric>

namespace lullwatt::account {
namespace {

using tariff::Per;
using tariff::Proration;

// 28 × 29 × 30 × 31: every month's length divides it.
constexpr std::int64_t kMonthParts = 755'160;
// 365 × 366.
constexpr std::int64_t kYearParts = 133'590;

std::int64_t length_of_month(CivilDate date) {
    const CivilDate last{date.year() / date.month() / date::last};
    return static_cast<std::int64_t>(static_cast<unsigned>(last.day()));
}

Multiple by_calendar(DateSpan days) {
    Multiple sum{0, kMonthParts};
    for (auto at = date::sys_days{days.from}; at < date::sys_days{days.to}; at += date::days{1})
        sum.n += kMonthParts / length_of_month(CivilDate{at});
    return sum;
}

Multiple years_of(DateSpan days) {
    Multiple sum{0, kYearParts};
    for (auto at = date::sys_days{days.from}; at < date::sys_days{days.to}; at += date::days{1})
        sum.n += kYearParts / (CivilDate{at}.year().is_leap() ? 366 : 365);
    return sum;
}

Multiple months_of(const Proration& proration, DateSpan bill, int months) {
    const std::int64_t days = bill.days();
    if (proration.whole_from && proration.whole_to) {
        for (std::int64_t n = 1; n <= 12; ++n) {
            if (n * *proration.whole_from <= days && days <= n * *proration.whole_to) return {n, 1};
        }
    }
    switch (proration.month) {
        case Proration::Month::bill:
            return {months, 1};
        case Proration::Month::thirty_days:
            return {days, 30};
        case Proration::Month::mean_month:
            return {days * 12, 365};
        case Proration::Month::calendar:
            return by_calendar(bill);
        case Proration::Month::whole_months:
            return {std::max<std::int64_t>(1, (days * 24 + 365) / 730), 1};
    }
    return {};
}

Multiple reduced(std::int64_t n, std::int64_t d) {
    const std::int64_t common = std::max<std::int64_t>(1, std::gcd(n, d));
    return {n / common, d / common};
}

}  // namespace

Multiple multiple_of(const Proration& proration, Per per, DateSpan bill, int active, int months) {
    if (per == Per::day) return {active, 1};
    Multiple whole;
    if (per == Per::month) whole = months_of(proration, bill, months);
    if (per == Per::year) whole = years_of(bill);
    return reduced(whole.n * active, whole.d * bill.days());
}

MilliwattHours times(MilliwattHours energy, Multiple multiple) {
    return MilliwattHours(static_cast<std::int64_t>(
        nearest_quotient(static_cast<Wide>(energy.count()) * multiple.n, multiple.d)));
}

}  // namespace lullwatt::account
