#include "tools/lullwatt/old_data.hpp"

#include <date/date.h>
#include <fmt/format.h>

#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {

std::vector<std::string> old_data(const io::Household& household, Instant now) {
    constexpr date::days kFresh{45};  // ours: a meter's file is brought up to date at least every bill or two
    std::vector<std::string> lines;
    for (std::size_t node = 0; node < household.worst.size(); ++node) {
        const site::WorstLoad& worst = household.worst[node];
        if (worst.lack != site::HistoryLack::none || now - worst.months.end <= kFresh) continue;
        lines.push_back(
            fmt::format("OLD DATA: the meter data of {} ends on {}, {} days ago; import newer.",
                        household.site.site.nodes[node].name,
                        date_text(CivilDate{date::floor<date::days>(household.zone.civil(worst.months.end))}),
                        std::chrono::duration_cast<date::days>(now - worst.months.end).count()));
    }
    return lines;
}

}  // namespace lullwatt::tools
