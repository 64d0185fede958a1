// Energy laid on prices: steps between readings, cut where a price changes, to the last watt-hour.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "core/account/register_energy.hpp"
#include "core/tariff/price_curve.hpp"
#include "core/time/energy_series.hpp"

namespace lullwatt::account {

// Energy at one price, within one quarter of an hour (UTC), so that demand intervals find their own.
struct CostPart {
    Interval when;
    WattHours energy;
    WattHours uncertain;  // of it, at most, may belong to the price before: no reading lies where they change
    std::string price;
    Rate rate;      // without tax
    Rate marginal;  // with all that a kilowatt-hour adds to the bill
    bool assumed = false;

    [[nodiscard]] ExactAmount cost() const { return MilliwattHours(energy) * marginal; }
    friend bool operator==(const CostPart&, const CostPart&) = default;
};

// Within a step energy is spread evenly; its parts sum to it exactly. `most` bounds what may lie elsewhere.
// Parts without energy are left out. REQUIRES: steps ascending without overlaps, prices over all of them.
[[nodiscard]] std::vector<CostPart> lay_on_prices(const std::vector<EnergyStep>& steps,
                                                  const tariff::PriceCurve& prices, Watts most);

[[nodiscard]] WattHours energy_of(const std::vector<CostPart>& parts);
[[nodiscard]] ExactAmount cost_of(const std::vector<CostPart>& parts);
// The parts that begin within `when`.
[[nodiscard]] std::vector<CostPart> within(const std::vector<CostPart>& parts, Interval when);
// As a meter of its own would have recorded them.
[[nodiscard]] EnergySeries series_of(const std::vector<CostPart>& parts);

// Parts of `whole` in multiples of `unit` that sum to it, each within a unit of its exact amount; largest
// remainders take up what rounding leaves, of equals the first. REQUIRES: unit > 0 divides whole; the exact
// amounts sum to within a unit a part of whole.
[[nodiscard]] std::vector<Money> shared_out(Money whole, const std::vector<ExactAmount>& exact, Money unit);

}  // namespace lullwatt::account
