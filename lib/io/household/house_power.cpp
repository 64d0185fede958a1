#include "io/household/house_power.hpp"

#include <algorithm>
#include <cmath>

namespace lullwatt::io {

HousePower::HousePower(const Household& household, const Contract& contract, const site::SiteLoads& loads)
    : volts_(household.site.site.leg_to_neutral), pieces_(loads[contract.node].forecast) {
    const auto& settings = household.site.loads[contract.node];
    const auto& history = household.histories[contract.node];
    if (!settings || !history) return;
    scale_ = static_cast<double>(contract.multiplier) / static_cast<double>(tariff::kWhole);
    // Where a meter tells only totals, each leg is planned as the worst; together they are the total.
    const site::Legs legs = household.site.site.nodes[contract.node].legs;
    if (history->legs == site::Legs{} && legs.count() > 1) scale_ /= settings->worst_leg_share * legs.count();
}

Milliwatts HousePower::mean(Interval when) const {
    double energy = 0;  // mW·s
    for (const site::LoadPiece& piece : pieces_) {
        const Instant begin = std::max(piece.when.begin, when.begin);
        const Instant end = std::min(piece.when.end, when.end);
        if (begin < end) energy += milliwatts(piece) * static_cast<double>((end - begin).count());
    }
    return Milliwatts(std::llround(energy / static_cast<double>(when.length().count())));
}

double HousePower::milliwatts(const site::LoadPiece& piece) const {
    double amps = 0;
    for (const Amps leg : piece.amps) amps += leg.count();
    return amps * volts_.count() * 1000 * scale_;
}

EnergySeries readings_until(const Household& household, const Supply& supply, Instant until) {
    const auto& history = household.histories[supply.contract.node];
    if (!history) return {};
    EnergySeries series = site::totals(*history);
    std::erase_if(series, [&](const EnergyReading& reading) { return reading.when.end > until; });
    for (EnergyReading& reading : series) {
        const Wide counted = std::max<std::int64_t>(reading.energy.count(), 0);
        reading.energy = MilliwattHours(static_cast<std::int64_t>(
            nearest_quotient(counted * supply.contract.multiplier, tariff::kWhole)));
    }
    return series;
}

MilliwattHours energy_of(const std::vector<plan::Taken::Draw>& draws, Interval span) {
    Wide sum = 0;  // mW·s
    for (const plan::Taken::Draw& draw : draws) {
        const Seconds both = std::min(draw.when.end, span.end) - std::max(draw.when.begin, span.begin);
        if (both > Seconds{0}) sum += static_cast<Wide>(draw.power.count()) * both.count();
    }
    return MilliwattHours(static_cast<std::int64_t>(nearest_quotient(sum, 3600)));
}

}  // namespace lullwatt::io
