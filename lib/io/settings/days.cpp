#include "io/settings/days.hpp"

#include <string>

namespace lullwatt::io {
namespace {

constexpr std::array<std::string_view, 7> kDayWords = {"sun", "mon", "tue", "wed", "thu", "fri", "sat"};

}  // namespace

std::array<bool, 7> read_days(const Section& section) {
    std::array<bool, 7> days{};
    for (const auto& element : section.list("days")) {
        const auto& word = std::get<std::string>(element.value);
        for (std::size_t day = 0; day < days.size(); ++day) {
            const bool weekend = day == 0 || day == 6;
            days[day] |=
                word == "every-day" || word == kDayWords[day] || word == (weekend ? "weekends" : "weekdays");
        }
    }
    return days;
}

void check_before_midnight(const Section& section, std::string_view key, Faults& faults) {
    const auto* time = section.find<Seconds>(key);
    if (time == nullptr || *time < Seconds{86400}) return;
    faults.push_back(section.fault(key, "is the day's end", "00:00 to 23:59",
                                   "write 00:00 for the midnight that begins a day"));
}

}  // namespace lullwatt::io
