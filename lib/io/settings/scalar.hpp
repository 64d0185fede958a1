// What a scalar of a settings file means: text with a unit into a typed value, or why not.
//
// Pure functions; call from any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/circuit/dwelling.hpp"
#include "core/circuit/metric_units.hpp"
#include "core/quantity/money.hpp"
#include "core/quantity/quantity.hpp"
#include "core/time/instant.hpp"
#include "io/settings/option.hpp"

namespace lullwatt::io {

// A multiple in millionths.
struct Factor {
    std::int64_t millionths = 0;
};

struct Percent {
    double percent = 0;
};

using Scalar =
    std::variant<std::string, long long, double, bool, WholeAmps, Amps, Volts, Watts, WattHours, Kilometres,
                 Percent, Seconds, CivilDate, date::month_day, Money, Rate, VoltAmperes, circuit::FloorArea,
                 Metres, circuit::Celsius, MilliwattHours, Milliwatts, DemandRate, Factor>;

struct ScalarError {
    std::string what;  // "has no unit", "is out of range"
    std::string mend;  // may be empty
};

// `kind` is neither list nor section(s). Ranges and choices are those of `option`; where a numeric kind has
// choices, one of those words is a std::string.
[[nodiscard]] std::variant<Scalar, ScalarError> parse_scalar(const Option& option, Kind kind,
                                                             std::string_view text);

// The choice nearest to `text` in spelling, when one is near enough to be meant.
[[nodiscard]] std::optional<std::string> nearest(std::string_view text,
                                                 const std::vector<std::string>& choices);

// "a | b | c" taken apart.
[[nodiscard]] std::vector<std::string> split_choices(std::string_view choices);

}  // namespace lullwatt::io
