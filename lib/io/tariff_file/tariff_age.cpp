#include "io/tariff_file/tariff_age.hpp"

#include <fmt/format.h>

#include "io/settings/section.hpp"
#include "io/tariff_file/tariff_table.hpp"

namespace lullwatt::io {
namespace {

// Ours: most price sheets change once a year, and are told a month or two before.
constexpr date::days kLong{365};
constexpr date::days kSoon{60};

std::string days_text(date::days days) {
    return fmt::format("{} day{}", days.count(), days.count() == 1 ? "" : "s");
}

}  // namespace

Faults old_prices(const std::filesystem::path& file, CivilDate today) {
    const ReadSection read = read_file(file, kTariffTable);
    const auto& revisions = read.section.sections("revisions");
    if (!read.faults.empty() || revisions.empty()) return {};
    const Section& last = revisions.back();
    const date::sys_days now{today};
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

}  // namespace lullwatt::io
