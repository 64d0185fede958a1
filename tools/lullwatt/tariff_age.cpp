#include "tools/lullwatt/tariff_age.hpp"

#include <date/date.h>
#include <fmt/format.h>

namespace lullwatt::tools {

std::string tariff_age(const io::Supply& supply, CivilDate today) {
    constexpr date::days kSoon{60};  // ours: time to find the next price sheet
    const tariff::Revision& newest = supply.tariff.revisions.back();
    const std::string file = supply.contract.tariff.string();
    const auto day = [](CivilDate date) { return date::format("%F", date::sys_days{date}); };
    if (newest.to && *newest.to < today) {
        return fmt::format("NO PRICES: those of {} ended on {}; add the revision that followed.", file,
                           day(*newest.to));
    }
    if (newest.to && date::sys_days{*newest.to} - date::sys_days{today} < kSoon) {
        return fmt::format("PRICES END: those of {} hold to {}; add the revision that follows.", file,
                           day(*newest.to));
    }
    if (newest.from + date::years{1} < date::year_month_day{today}) {
        return fmt::format(
            "OLD PRICES: the newest of {} hold since {}; look for a newer price sheet and add it as a "
            "revision.",
            file, day(newest.from));
    }
    return "";
}

}  // namespace lullwatt::tools
