#include "io/tariff_file/tariff_age.hpp"

#include <string>
#include <vector>

#include <fmt/format.h>

#include "io/settings/section.hpp"
#include "io/tariff_file/announced_prices.hpp"
#include "io/tariff_file/tariff_table.hpp"

namespace lullwatt::io {
namespace {

// Ours: most price sheets change once a year, and are told a month or two before.
constexpr date::days kLong{365};
constexpr date::days kSoon{60};

std::string days_text(date::days days) {
    return fmt::format("{} day{}", days.count(), days.count() == 1 ? "" : "s");
}

Faults notices_of(const std::vector<Section>& revisions, date::sys_days now) {
    const Section& first = revisions.front();
    const Section& last = revisions.back();
    if (const date::sys_days begin{first.get<CivilDate>("from")}; now < begin) {
        return {first.fault("from", fmt::format("is in {}: today has no price", days_text(begin - now)), "",
                            "add the revision that holds today, or correct the date")};
    }
    if (const auto* to = last.find<CivilDate>("to")) {
        const date::days left = date::sys_days{*to} - now;
        if (left > kSoon) return {};
        const bool ended = left < date::days{0};
        return {last.fault("to",
                           ended ? fmt::format("ended {} ago", days_text(-left))
                                 : fmt::format("ends in {}, and no revision follows", days_text(left)),
                           "", "add the revision of the next price sheet, or remove 'to' where prices stay")};
    }
    const date::days age = now - date::sys_days{last.get<CivilDate>("from")};
    if (age <= kLong) return {};
    return {last.fault("from", fmt::format("is the newest revision, and {} old", days_text(age)), "",
                       "compare it with the latest bill, and add a revision where that differs")};
}

}  // namespace

Faults old_prices(const std::filesystem::path& file, CivilDate today) {
    const ReadSection read = read_file(file, kTariffTable);
    const auto& revisions = read.section.sections("revisions");
    if (!read.faults.empty() || revisions.empty()) return {};
    Faults notices = notices_of(revisions, date::sys_days{today});
    if (const auto* prices = read.section.find<std::string>("prices_from")) {
        const Faults announced =
            announced_price_notices(file.parent_path() / *prices, announced_format(read.section), today);
        notices.insert(notices.end(), announced.begin(), announced.end());
    }
    return notices;
}

}  // namespace lullwatt::io
