#include "core/account/year.hpp"

#include <algorithm>

namespace lullwatt::account {

Share share_of(Part part) {
    switch (part) {
        case Part::window:
        case Part::adder:
            return Share::hours;
        case Part::block:
            return Share::blocks;
        case Part::demand:
            return Share::demand;
        case Part::fixed:
        case Part::minimum:
            return Share::fixed;
        case Part::exported:
        case Part::carried:
            return Share::exported;
        case Part::rider:
        case Part::tax:
        case Part::rounding:
            break;
    }
    return Share::percentages;
}

YearCost year_of(const std::vector<Bill>& bills) {
    YearCost year;
    for (const Bill& bill : bills) {
        year.total += bill.total;
        year.taken += bill.taken;
        year.assumed = year.assumed || bill.assumed;
        year.bills.push_back(bill.total);
        for (const Line& line : bill.lines)
            year.by_share[static_cast<std::size_t>(share_of(line.part))] += line.amount;
    }
    return year;
}

std::vector<Driver> drivers(const YearCost& now, const YearCost& other) {
    std::vector<Driver> found;
    for (std::size_t i = 0; i < kShareCount; ++i) {
        const Money more = other.by_share[i] - now.by_share[i];
        if (more != Money(0)) found.push_back({static_cast<Share>(i), more});
    }
    const auto size = [](const Driver& driver) { return std::abs(driver.more.count()); };
    std::ranges::stable_sort(found, std::ranges::greater{}, size);
    return found;
}

}  // namespace lullwatt::account
