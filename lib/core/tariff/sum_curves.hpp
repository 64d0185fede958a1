// The price of energy that several contracts charge for at once, such as a network's and a supplier's.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <vector>

#include "core/tariff/price_curve.hpp"

namespace lullwatt::tariff {

struct PricePart {
    PriceCurve curve;
    bool one_name = false;  // its tariff calls all hours the same, which tells nothing beside others
};

// Whether all hours the tariff prices have one name.
[[nodiscard]] bool one_name(const Tariff& tariff);

// Rates and marginals added up between all cuts; assumed where one of them is. Names are joined by " + ",
// each once, without those that tell nothing; where none tells anything, all are. REQUIRES: at least one
// part, and every curve covers the same span.
[[nodiscard]] PriceCurve sum_curves(const std::vector<PricePart>& parts);

}  // namespace lullwatt::tariff
