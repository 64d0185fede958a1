#include "core/account/proration.hpp"

#include <algorithm>
#include <numeric>
#include <optional>

#include "core/account/use.hpp"
#include "core/tariff/window.hpp"

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

// Each active day's part of what holds it, in 1/`parts`.
template <class Length>
Multiple sum_of_days(const tariff::Tariff& tariff, const Active& active, std::int64_t parts, Length length) {
    Multiple sum{0, parts};
    for (auto at = date::sys_days{active.days.from}; at < date::sys_days{active.days.to};
         at += date::days{1}) {
        const CivilDate day{at};
        if (active.seasons.empty() || tariff::holds_season(active.seasons, tariff::season_of(tariff, day)))
            sum.n += parts / length(day);
    }
    return sum;
}

std::int64_t length_of_year(CivilDate date) { return date.year().is_leap() ? 366 : 365; }

// How many months the whole bill is; none: each day is its own month's part.
std::optional<Multiple> months_of(const Proration& proration, DateSpan bill, int months) {
    const std::int64_t days = bill.days();
    if (proration.whole_from && proration.whole_to) {
        for (std::int64_t n = 1; n <= 12; ++n) {
            if (n * *proration.whole_from <= days && days <= n * *proration.whole_to) return Multiple{n, 1};
        }
    }
    switch (proration.month) {
        case Proration::Month::bill:
            return Multiple{months, 1};
        case Proration::Month::thirty_days:
            return Multiple{days, 30};
        case Proration::Month::mean_month:
            return Multiple{days * 12, 365};
        case Proration::Month::calendar:
            return std::nullopt;
        case Proration::Month::whole_months:
            return Multiple{std::max<std::int64_t>(1, (days * 24 + 365) / 730), 1};
    }
    return std::nullopt;
}

Multiple reduced(std::int64_t n, std::int64_t d) {
    const std::int64_t common = std::max<std::int64_t>(1, std::gcd(n, d));
    return {n / common, d / common};
}

}  // namespace

Multiple multiple_of(const tariff::Tariff& tariff, Per per, DateSpan bill, const Active& active, int months) {
    const int days = days_in(tariff, active.days, active.seasons);
    if (per == Per::day) return {days, 1};
    if (per == Per::year) {
        const Multiple years = sum_of_days(tariff, active, kYearParts, length_of_year);
        return reduced(years.n, years.d);
    }
    const auto whole = per == Per::month ? months_of(tariff.proration, bill, months) : Multiple{};
    if (whole) return reduced(whole->n * days, whole->d * bill.days());
    const Multiple own = sum_of_days(tariff, active, kMonthParts, length_of_month);
    return reduced(own.n, own.d);
}

MilliwattHours times(MilliwattHours energy, Multiple multiple) {
    return MilliwattHours(static_cast<std::int64_t>(
        nearest_quotient(static_cast<Wide>(energy.count()) * multiple.n, multiple.d)));
}

}  // namespace lullwatt::account
