#include "io/settings/scalar.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <span>

#include <date/date.h>
#include <fmt/format.h>

#include "io/fault/printable.hpp"

namespace lullwatt::io {
namespace {

using Parsed = std::variant<Scalar, ScalarError>;

struct Unit {
    std::string_view name;
    std::int64_t thousandths;  // of the kind's base unit
};

struct Measure {
    std::int64_t thousandths = 0;  // of the base unit, exact
};

constexpr std::string_view kNoSuchDay = "is a day that does not exist";

constexpr std::array kAmperes = {Unit{"A", 1000}};
constexpr std::array kVolts = {Unit{"V", 1000}};
constexpr std::array kWatts = {Unit{"W", 1000}, Unit{"kW", 1'000'000}};
// A nameplate's watts are taken for volt-amperes: what calculations add up are nameplates as they stand.
constexpr std::array kNameplate = {Unit{"VA", 1000}, Unit{"kVA", 1'000'000}, Unit{"W", 1000},
                                   Unit{"kW", 1'000'000}};
constexpr std::array kAreas = {Unit{"m2", 1000}, Unit{"m²", 1000}, Unit{"sq ft", 1000}, Unit{"ft2", 1000}};
// In micrometres, of which a foot is a whole number.
constexpr std::array kLengths = {Unit{"m", 1'000'000}, Unit{"ft", 304'800}};
constexpr std::array kTemperatures = {Unit{"C", 1000}, Unit{"°C", 1000}};
constexpr std::array kWattHours = {Unit{"Wh", 1000}, Unit{"kWh", 1'000'000}};
constexpr std::array kConsumption = {Unit{"kWh/100km", 1'000'000}, Unit{"Wh/100km", 1000}};
constexpr std::array kDistance = {Unit{"km", 1000}};
constexpr std::array kPercent = {Unit{"%", 10'000}};
constexpr std::array kDurations = {Unit{"s", 1000}, Unit{"min", 60'000}, Unit{"h", 3'600'000}};

std::string trimmed(std::string_view text) {
    const auto first = text.find_first_not_of(" \t");
    if (first == text.npos) return {};
    return std::string(text.substr(first, text.find_last_not_of(" \t") - first + 1));
}

ScalarError wrong_unit(std::string_view unit, std::span<const Unit> units) {
    std::string names;
    for (const Unit& one : units) names += fmt::format("{}{}", names.empty() ? "" : ", ", one.name);
    if (unit.empty()) return {"has no unit", fmt::format("write the unit behind the number ({})", names)};
    return {fmt::format("has the unit '{}'", unit), fmt::format("write it in {}", names)};
}

// How numbers are written elsewhere.
std::optional<ScalarError> not_as_written(std::string_view text) {
    const auto end = std::min(text.find_first_not_of("+-0123456789."), text.size());
    const auto next_is = [&](std::string_view these, std::string_view followed) {
        return end > 0 && end + 1 < text.size() && these.find(text[end]) != text.npos &&
               followed.find(text[end + 1]) != text.npos;
    };
    if (next_is(",", "0123456789")) {
        std::string pointed(text);
        pointed[end] = '.';
        const bool plain = text.find(',', end + 1) == text.npos && text.find('.') == text.npos;
        return ScalarError{"has a comma in its number",
                           plain ? fmt::format("write a decimal point: '{}'", pointed)
                                 : "write digits and at most one decimal point"};
    }
    if (next_is("eE", "+-0123456789")) {
        return ScalarError{"has an exponent", "write the number out in digits, with a decimal point"};
    }
    return std::nullopt;
}

std::variant<Measure, ScalarError> measure(std::string_view text, std::span<const Unit> units) {
    if (const auto error = not_as_written(text)) return *error;
    const auto number_end = text.find_first_not_of("+-0123456789.");
    const std::string number = trimmed(text.substr(0, number_end));
    const std::string unit = number_end == text.npos ? "" : trimmed(text.substr(number_end));
    const auto exact = parse_decimal(number, 6);
    if (!exact) return ScalarError{"is not a number with a unit", ""};
    const auto known = std::ranges::find(units, unit, &Unit::name);
    if (known == units.end()) return wrong_unit(unit, units);
    const Wide wide = static_cast<Wide>(*exact) * known->thousandths;
    if (wide % 1'000'000 != 0) return ScalarError{"is finer than a thousandth of its base unit", ""};
    if (wide / 1'000'000 > 1'000'000'000'000'000 || wide / 1'000'000 < -1'000'000'000'000'000) {
        return ScalarError{"is out of all proportion", ""};
    }
    return Measure{static_cast<std::int64_t>(wide / 1'000'000)};
}

std::optional<ScalarError> out_of_range(const Option& option, double value) {
    if (option.least > option.greatest || (value >= option.least && value <= option.greatest))
        return std::nullopt;
    return ScalarError{"is out of range", ""};
}

template <class Make>
Parsed measured(const Option& option, std::string_view text, std::span<const Unit> units, double range_scale,
                Make make) {
    const auto read = measure(text, units);
    if (const auto* error = std::get_if<ScalarError>(&read)) return *error;
    const std::int64_t thousandths = std::get<Measure>(read).thousandths;
    if (const auto error = out_of_range(option, static_cast<double>(thousandths) / 1000 / range_scale))
        return *error;
    return make(thousandths);
}

Parsed whole_amps(const Option& option, std::string_view text) {
    return measured(option, text, kAmperes, 1, [](std::int64_t milliamps) -> Parsed {
        if (milliamps % 1000 != 0) return ScalarError{"is not a whole number of amperes", "round it down"};
        return WholeAmps(static_cast<int>(milliamps / 1000));
    });
}

Parsed nameplate(const Option& option, std::string_view text) {
    const auto at = text.find(" at ");
    if (at == text.npos) {
        return measured(option, text, kNameplate, 1,
                        [](std::int64_t n) -> Parsed { return VoltAmperes(static_cast<double>(n) / 1000); });
    }
    const auto amps = measure(text.substr(0, at), kAmperes);
    const auto volts = measure(trimmed(text.substr(at + 4)), kVolts);
    for (const auto* part : {&amps, &volts}) {
        if (const auto* error = std::get_if<ScalarError>(part)) return *error;
    }
    const double power = static_cast<double>(std::get<Measure>(amps).thousandths) *
                         static_cast<double>(std::get<Measure>(volts).thousandths) / 1e6;
    if (const auto error = out_of_range(option, power)) return *error;
    return VoltAmperes(power);
}

Parsed area(const Option& option, std::string_view text) {
    const bool in_feet = text.ends_with("sq ft") || text.ends_with("ft2");
    return measured(option, text, kAreas, 1, [in_feet](std::int64_t n) -> Parsed {
        const double amount = static_cast<double>(n) / 1000;
        return in_feet ? circuit::FloorArea(circuit::SquareFeet(amount))
                       : circuit::FloorArea(circuit::SquareMetres(amount));
    });
}

Parsed energy(const Option& option, std::string_view text, std::span<const Unit> units) {
    return measured(option, text, units, 1000, [](std::int64_t milliwatt_hours) -> Parsed {
        if (milliwatt_hours % 1000 != 0) return ScalarError{"is finer than a watt-hour", ""};
        return WattHours(milliwatt_hours / 1000);
    });
}

Parsed duration(const Option& option, std::string_view text) {
    return measured(option, text, kDurations, 1, [](std::int64_t milliseconds) -> Parsed {
        if (milliseconds % 1000 != 0) return ScalarError{"is finer than a second", ""};
        return Seconds(milliseconds / 1000);
    });
}

Parsed number(const Option& option, std::string_view text) {
    const auto exact = parse_decimal(text, 9);
    if (!exact) return ScalarError{"is not a plain number", "write digits and at most one point"};
    const double value = static_cast<double>(*exact) / 1e9;
    if (const auto error = out_of_range(option, value)) return *error;
    return value;
}

Parsed whole_number(const Option& option, std::string_view text) {
    const auto exact = parse_decimal(text, 0);
    if (!exact) return ScalarError{"is not a whole number", ""};
    if (const auto error = out_of_range(option, static_cast<double>(*exact))) return *error;
    return static_cast<long long>(*exact);
}

std::optional<Seconds> hours_and_minutes(std::string_view text) {
    if (text.size() != 5 || text[2] != ':') return std::nullopt;
    const auto hours = parse_decimal(text.substr(0, 2), 0);
    const auto minutes = parse_decimal(text.substr(3, 2), 0);
    if (!hours || !minutes || *hours < 0 || *minutes < 0 || *minutes > 59) return std::nullopt;
    return Seconds{*hours * 3600 + *minutes * 60};
}

Parsed time_of_day(std::string_view text) {
    const auto time = hours_and_minutes(text);
    if (!time || *time > Seconds{86400})
        return ScalarError{"is not a time of day", "write hours and minutes as HH:MM"};
    return *time;
}

Parsed offset(std::string_view text) {
    const bool signed_text = text.starts_with('+') || text.starts_with('-');
    const auto time = signed_text ? hours_and_minutes(text.substr(1)) : std::nullopt;
    if (!time || *time > Seconds{15 * 3600}) return ScalarError{"is not an offset from UTC", ""};
    return text.front() == '-' ? -*time : *time;
}

Parsed calendar_date(std::string_view text) {
    const bool shaped = text.size() == 10 && text[4] == '-' && text[7] == '-';
    const auto year = shaped ? parse_decimal(text.substr(0, 4), 0) : std::nullopt;
    const auto month = shaped ? parse_decimal(text.substr(5, 2), 0) : std::nullopt;
    const auto day = shaped ? parse_decimal(text.substr(8, 2), 0) : std::nullopt;
    if (!year || !month || !day || *month < 1 || *day < 1) {
        return ScalarError{"is not a date", "write year, month and day as YYYY-MM-DD"};
    }
    const CivilDate read =
        date::year{static_cast<int>(*year)} / static_cast<int>(*month) / static_cast<int>(*day);
    if (!read.ok()) return ScalarError{std::string(kNoSuchDay), ""};
    return read;
}

Parsed month_and_day(std::string_view text) {
    const auto read = calendar_date(fmt::format("2024-{}", text));  // a leap year, so that 02-29 is a day
    if (const auto* whole = std::get_if<Scalar>(&read)) {
        const auto day = std::get<CivilDate>(*whole);
        return day.month() / day.day();
    }
    ScalarError error = std::get<ScalarError>(read);
    if (error.what == kNoSuchDay) return error;
    return ScalarError{"is not a month and day", "write them as MM-DD"};
}

Parsed decimal_money(const Option& option, std::string_view text, Kind kind) {
    const int scale = kind == Kind::money ? 6 : 12;
    const auto exact = parse_decimal(text, scale);
    if (!exact)
        return ScalarError{"is not an amount", "write digits and at most one point, no currency sign"};
    if (const auto error = out_of_range(option, static_cast<double>(*exact) / std::pow(10.0, scale)))
        return *error;
    if (kind == Kind::money) return Money(*exact);
    if (kind == Kind::demand_rate) return DemandRate(*exact);
    return Rate(*exact);
}

Parsed factor(const Option& option, std::string_view text) {
    const auto exact = parse_decimal(text, 6);
    if (!exact) return ScalarError{"is not a plain number", "write digits and at most one point"};
    if (const auto error = out_of_range(option, static_cast<double>(*exact) / 1e6)) return *error;
    return Factor{*exact};
}

Parsed choice(const Option& option, std::string_view text) {
    const auto choices = split_choices(option.choices);
    if (std::ranges::find(choices, text) != choices.end()) return std::string(text);
    const auto meant = nearest(text, choices);
    return ScalarError{"is not one of the choices", meant ? fmt::format("did you mean '{}'?", *meant) : ""};
}

Parsed boolean(std::string_view text) {
    if (text == "yes" || text == "true") return true;
    if (text == "no" || text == "false") return false;
    return ScalarError{"is neither yes nor no", ""};
}

std::size_t spelling_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({row[j] + 1, row[j - 1] + 1, replaced});
        }
    }
    return row[b.size()];
}

}  // namespace

std::variant<Scalar, ScalarError> parse_scalar(const Option& option, Kind kind, std::string_view text) {
    if (kind != Kind::choice && std::ranges::count(split_choices(option.choices), text) > 0) {
        return std::string(text);
    }
    switch (kind) {
        case Kind::choice:
            return choice(option, text);
        case Kind::whole_number:
            return whole_number(option, text);
        case Kind::number:
            return number(option, text);
        case Kind::whole_amps:
            return whole_amps(option, text);
        case Kind::amps:
            return measured(option, text, kAmperes, 1,
                            [](std::int64_t n) -> Parsed { return Amps(static_cast<double>(n) / 1000); });
        case Kind::volts:
            return measured(option, text, kVolts, 1,
                            [](std::int64_t n) -> Parsed { return Volts(static_cast<double>(n) / 1000); });
        case Kind::watts:
            return measured(option, text, kWatts, 1,
                            [](std::int64_t n) -> Parsed { return Watts(static_cast<double>(n) / 1000); });
        case Kind::nameplate:
            return nameplate(option, text);
        case Kind::area:
            return area(option, text);
        case Kind::length:
            return measured(option, text, kLengths, 1000, [](std::int64_t micrometres) -> Parsed {
                return Metres(static_cast<double>(micrometres) / 1e6);
            });
        case Kind::temperature:
            return measured(option, text, kTemperatures, 1, [](std::int64_t n) -> Parsed {
                return circuit::Celsius(static_cast<double>(n) / 1000);
            });
        case Kind::energy:
            return energy(option, text, kWattHours);
        case Kind::energy_per_100km:
            return energy(option, text, kConsumption);
        case Kind::distance:
            return measured(option, text, kDistance, 1, [](std::int64_t n) -> Parsed {
                return Kilometres(static_cast<double>(n) / 1000);
            });
        case Kind::percent:
            return measured(option, text, kPercent, 10, [](std::int64_t n) -> Parsed {
                return Percent{static_cast<double>(n) / 10'000};
            });
        case Kind::fine_energy:
            return measured(option, text, kWattHours, 1000,
                            [](std::int64_t n) -> Parsed { return MilliwattHours(n); });
        case Kind::demand:
            return measured(option, text, kWatts, 1000,
                            [](std::int64_t n) -> Parsed { return Milliwatts(n); });
        case Kind::factor:
            return factor(option, text);
        case Kind::duration:
            return duration(option, text);
        case Kind::time_of_day:
            return time_of_day(text);
        case Kind::offset:
            return offset(text);
        case Kind::date:
            return calendar_date(text);
        case Kind::month_day:
            return month_and_day(text);
        case Kind::money:
        case Kind::rate:
        case Kind::demand_rate:
            return decimal_money(option, text, kind);
        case Kind::boolean:
            return boolean(text);
        case Kind::text:
        case Kind::file:
            if (trimmed(text).empty()) return ScalarError{"is empty", ""};
            if (printable(text, text.size()) != text) {
                return ScalarError{"holds a character that cannot be shown",
                                   "write it with letters and signs"};
            }
            return std::string(text);
        case Kind::list:
        case Kind::section:
        case Kind::sections:
            break;
    }
    return ScalarError{"is not a single value", ""};
}

std::vector<std::string> split_choices(std::string_view choices) {
    std::vector<std::string> split;
    while (!choices.empty()) {
        const auto bar = choices.find('|');
        split.push_back(trimmed(choices.substr(0, bar)));
        choices = bar == choices.npos ? std::string_view{} : choices.substr(bar + 1);
    }
    return split;
}

std::optional<std::string> nearest(std::string_view text, const std::vector<std::string>& choices) {
    std::optional<std::string> best;
    std::size_t best_distance = std::max<std::size_t>(2, text.size() / 3) + 1;
    constexpr std::size_t kShort = 2;  // of such a word a letter is half: anything is near it
    if (text.size() < kShort) return best;
    for (const std::string& choice : choices) {
        if (choice.size() <= kShort) continue;
        const std::size_t distance = spelling_distance(text, choice);
        if (distance < best_distance) {
            best = choice;
            best_distance = distance;
        }
    }
    return best;
}

}  // namespace lullwatt::io
