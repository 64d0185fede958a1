// Whether a price per kilowatt-hour was likely written in the wrong unit: cents for dollars, per MWh for per
// kWh.
#pragma once

#include <optional>
#include <string_view>

#include "core/quantity/money.hpp"

namespace lullwatt::io {

// A price no household pays for a kilowatt-hour in this currency (ours); empty where nothing can be said.
[[nodiscard]] std::optional<Rate> implausible_rate(std::string_view currency);

// A part of every kilowatt-hour's price that is improbable beside the rest (ours); a charge in some hours
// only may well be as large as a price.
[[nodiscard]] std::optional<Rate> implausible_adder(std::string_view currency);

// An amount no household pays for each day (ours).
[[nodiscard]] std::optional<Money> implausible_day(std::string_view currency);

}  // namespace lullwatt::io
