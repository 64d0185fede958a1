// What a kilowatt-hour costs, instant by instant, with the name a household knows the price by.
// Blocks count at their dearest step, whatever was used before, and demand does not count: core/plan/month
// reckons with both.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "core/quantity/money.hpp"
#include "core/tariff/stretches.hpp"

namespace lullwatt::tariff {

struct PricePiece {
    Interval when;
    Rate rate;      // all per-kWh parts, without tax: what a bill's lines print
    Rate marginal;  // the same with tax, to the nearest 1e-12: what one more kilowatt-hour costs
    std::string name;
    bool assumed = false;  // nobody has announced it yet
    friend bool operator==(const PricePiece&, const PricePiece&) = default;
};

// Ascending pieces without gaps or overlaps; equal neighbours are one piece.
using PriceCurve = std::vector<PricePiece>;

// The prices of `span`, exact to the second. `clock` is the tariff's own (Tariff::clock).
// REQUIRES: span not empty and within clock.known().
[[nodiscard]] std::variant<PriceCurve, Uncovered> price_curve(const Tariff& tariff, const Zone& clock,
                                                              Interval span);

// An amount of one of a revision's lines with the riders and taxes that are taken of it.
[[nodiscard]] ExactAmount with_percentages(const Revision& revision, Part part, const std::string& name,
                                           ExactAmount amount);

// Adds what follows, as part of the last piece where that costs and is called the same.
void append(PriceCurve& curve, PricePiece piece);

// The piece that holds `at`. REQUIRES: the curve covers it.
[[nodiscard]] const PricePiece& price_at(const PriceCurve& curve, Instant at);

}  // namespace lullwatt::tariff
