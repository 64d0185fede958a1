#include "io/settings/option.hpp"

#include <array>
#include <cassert>
#include <cmath>

#include <fmt/format.h>

namespace lullwatt::io {
namespace {

struct KindText {
    Kind kind;
    std::string_view unit;
    std::string_view example;
};

constexpr std::array kTexts = {
    KindText{Kind::text, "", "text"},
    KindText{Kind::choice, "", "one word"},
    KindText{Kind::whole_number, "", "a whole number such as '3'"},
    KindText{Kind::number, "", "a number such as '0.65'"},
    KindText{Kind::whole_amps, "A", "whole amperes such as '25 A'"},
    KindText{Kind::amps, "A", "amperes such as '12.5 A'"},
    KindText{Kind::volts, "V", "volts such as '120 V'"},
    KindText{Kind::watts, "W", "a power such as '400 W' or '7.2 kW'"},
    KindText{Kind::nameplate, "VA", "a nameplate such as '1200 VA', '4.5 kW' or '7.2 A at 120 V'"},
    KindText{Kind::area, "m2", "a floor area such as '140 m2' or '1500 sq ft'"},
    KindText{Kind::length, "m", "a length such as '25 m' or '80 ft'"},
    KindText{Kind::temperature, "C", "a temperature such as '35 C'"},
    KindText{Kind::energy, "kWh", "an energy such as '60 kWh' or '500 Wh'"},
    KindText{Kind::fine_energy, "kWh", "an energy such as '600 kWh' or '22.1918 kWh'"},
    KindText{Kind::demand, "kW", "a power such as '7.2 kW' or '400 W'"},
    KindText{Kind::energy_per_100km, "kWh/100km", "a consumption such as '18 kWh/100km'"},
    KindText{Kind::distance, "km", "a distance such as '60 km'"},
    KindText{Kind::percent, "%", "a percentage such as '80 %'"},
    KindText{Kind::duration, "s", "a duration such as '30 s', '5 min' or '2 h'"},
    KindText{Kind::time_of_day, "", "a time of day such as '07:00'"},
    KindText{Kind::offset, "", "an offset from UTC such as '+02:00'"},
    KindText{Kind::date, "", "a date such as '2026-01-31'"},
    KindText{Kind::month_day, "", "a month and day such as '11-01'"},
    KindText{Kind::money, "", "an amount such as '0.02', at most 6 decimals"},
    KindText{Kind::rate, "", "a price per kWh such as '0.0951', at most 12 decimals"},
    KindText{Kind::demand_rate, "", "a price per kW such as '8.40', at most 12 decimals"},
    KindText{Kind::factor, "", "a factor such as '1.0376', at most 6 decimals"},
    KindText{Kind::boolean, "", "'yes' or 'no'"},
    KindText{Kind::file, "", "a file name"},
    KindText{Kind::list, "", "a list such as '[a, b]'"},
    KindText{Kind::section, "", "a mapping of keys"},
    KindText{Kind::sections, "", "a list of mappings, each begun with '-'"},
};

const KindText& text_of(Kind kind) {
    for (const KindText& entry : kTexts) {
        if (entry.kind == kind) return entry;
    }
    assert(false && "every kind has a text");
    return kTexts.front();
}

// A duration of whole minutes is told in minutes, as people write it.
std::string with_unit(double number, std::string_view unit) {
    if (unit == "s" && number >= 60 && std::fmod(number, 60) == 0) return fmt::format("{} min", number / 60);
    return unit.empty() ? fmt::format("{}", number) : fmt::format("{} {}", number, unit);
}

}  // namespace

std::string_view example(Kind kind) { return text_of(kind).example; }

std::string_view unit_text(Kind kind) { return text_of(kind).unit; }

std::string allowed_text(const Option& option) {
    if (option.kind == Kind::choice) return std::string(option.choices);
    if (option.kind == Kind::list) {
        return option.element == Kind::choice ? fmt::format("a list of {}", option.choices)
                                              : fmt::format("a list, each {}", example(option.element));
    }
    const std::string words =
        option.choices.empty() ? "" : fmt::format("{} or ", option.choices);  // "auto or 6 A to 80 A"
    if (option.least > option.greatest) return words + std::string(example(option.kind));
    const std::string_view unit = unit_text(option.kind);
    if (option.least == option.greatest) return words + with_unit(option.least, unit);
    return fmt::format("{}{} to {}, {}", words, with_unit(option.least, unit),
                       with_unit(option.greatest, unit), example(option.kind));
}

}  // namespace lullwatt::io
