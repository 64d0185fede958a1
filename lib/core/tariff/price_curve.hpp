// What a kilowatt-hour costs, instant by instant, with the name a household knows the price by.
//
// A value; safe to read from any thread.
#pragma once

#include <string>
#include <vector>

#include "core/quantity/money.hpp"
#include "core/time/instant.hpp"

namespace lullwatt::tariff {

struct PricePiece {
    Interval when;
    Rate rate;      // all per-kWh parts, without tax: what a bill's lines print
    Rate marginal;  // the same with tax: what one more kilowatt-hour costs
    std::string name;
};

// Ascending pieces without gaps or overlaps.
using PriceCurve = std::vector<PricePiece>;

// The piece that holds `at`. REQUIRES: the curve covers it.
[[nodiscard]] const PricePiece& price_at(const PriceCurve& curve, Instant at);

}  // namespace lullwatt::tariff
