#include "io/tariff_file/day_words.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace lullwatt::io {
namespace {

using tariff::DaySet;

struct Weekday {
    std::string_view word;
    std::size_t index;
};
constexpr std::array kWeekdayWords = {Weekday{"mon", 1}, Weekday{"tue", 2}, Weekday{"wed", 3},
                                      Weekday{"thu", 4}, Weekday{"fri", 5}, Weekday{"sat", 6},
                                      Weekday{"sun", 0}};

void unite(DaySet& days, const DaySet& more) {
    for (std::size_t day = 0; day < days.weekdays.size(); ++day) days.weekdays[day] |= more.weekdays[day];
    days.holidays |= more.holidays;
}

bool told(const Section& section, const Faults& faults) {
    return std::ranges::any_of(faults, [&](const Fault& fault) {
        return fault.key.starts_with(fmt::format("{}.days", section.path()));
    });
}

}  // namespace

DayWords::DayWords(const Section& file, Faults& faults) {
    add("every-day", DaySet::every_day());
    add("weekdays", {{false, true, true, true, true, true, false}, false});
    add("weekends", {{true, false, false, false, false, false, true}, false});
    add("holidays", {{}, true});
    for (const Weekday& weekday : kWeekdayWords) {
        DaySet days;
        days.weekdays[weekday.index] = true;
        add(weekday.word, days);
    }
    for (const Section& type : file.sections("day_types")) {
        const DaySet days = days_of(type, faults);
        const auto* name = type.find<std::string>("name");
        if (name == nullptr) continue;
        if (meanings_.contains(*name)) {
            faults.push_back(
                type.fault("name", "has a meaning already", "a name not used yet", "give it another name"));
            continue;
        }
        add(*name, days);
    }
}

void DayWords::add(std::string_view word, const DaySet& days) {
    words_.emplace_back(word);
    meanings_.emplace(word, days);
}

DaySet DayWords::days_of(const Section& section, Faults& faults) const {
    DaySet days;
    const auto& elements = section.list("days");
    if (elements.empty() && section.stated("days") && !told(section, faults)) {
        faults.push_back(section.fault("days", "is an empty list",
                                       fmt::format("{}", fmt::join(words_, " | ")), "name the days"));
    }
    for (std::size_t i = 0; i < elements.size(); ++i) {
        const auto meaning = meanings_.find(elements[i].written);
        if (meaning != meanings_.end()) {
            unite(days, meaning->second);
            continue;
        }
        const auto meant = nearest(elements[i].written, words_);
        faults.push_back(section.element_fault(
            "days", i, "is no kind of day", fmt::format("{}", fmt::join(words_, " | ")),
            meant ? fmt::format("did you mean '{}'?", *meant) : "name it under 'day_types'"));
    }
    return days;
}

}  // namespace lullwatt::io
