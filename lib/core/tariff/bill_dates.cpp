#include "core/tariff/bill_dates.hpp"

#include <algorithm>

namespace lullwatt::tariff {
namespace {

// The reading day of a month counted from year 0.
CivilDate read_in(const BillDates& bills, int month) {
    const date::year_month in{date::year{month / 12}, date::month{static_cast<unsigned>(month % 12) + 1}};
    const auto last = CivilDate{in / date::last}.day();
    return in / std::min(date::day{bills.day}, last);
}

int months_of(CivilDate date) {
    return int{date.year()} * 12 + static_cast<int>(static_cast<unsigned>(date.month())) - 1;
}

DateSpan by_rule(const BillDates& bills, CivilDate date) {
    const int phase = static_cast<int>(bills.first_month) - 1;
    int month = months_of(date);
    month -= (month - phase) % bills.months;
    if (date < read_in(bills, month)) month -= bills.months;
    return {read_in(bills, month), read_in(bills, month + bills.months)};
}

}  // namespace

bool falls_in(date::month_day day, DateSpan span) {
    for (date::year year = span.from.year(); year <= span.to.year(); ++year) {
        if (span.contains(CivilDate{year / day.month() / day.day()})) return true;
    }
    return false;
}

DateSpan bill_of(const BillDates& bills, CivilDate date) {
    const auto& reads = bills.reads;
    const auto after = std::ranges::upper_bound(reads, date);
    if (after != reads.begin() && after != reads.end()) return {*std::prev(after), *after};
    DateSpan span = by_rule(bills, date);
    if (after != reads.end()) span.to = std::min(span.to, *after);
    if (after != reads.begin()) span.from = std::max(span.from, *std::prev(after));
    return span;
}

std::vector<DateSpan> bills_in(const BillDates& bills, DateSpan span) {
    std::vector<DateSpan> found;
    for (CivilDate at = span.from; at < span.to; at = found.back().to) found.push_back(bill_of(bills, at));
    return found;
}

}  // namespace lullwatt::tariff
