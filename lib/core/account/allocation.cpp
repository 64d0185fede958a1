#include "core/account/allocation.hpp"

#include <algorithm>
#include <numeric>

namespace lullwatt::account {
namespace {

constexpr Seconds kQuarter{900};

Instant next_quarter(Instant at) { return Instant{(at.time_since_epoch() / kQuarter + 1) * kQuarter}; }

// A step's energy from its begin to `at`, spread evenly.
WattHours until(const EnergyStep& step, Instant at) {
    return WattHours(static_cast<std::int64_t>(
        nearest_quotient(static_cast<Wide>(step.energy.count()) * (at - step.when.begin).count(),
                         step.when.length().count())));
}

WattHours at_most(Watts most, Seconds length) {
    return WattHours(static_cast<std::int64_t>(most.count() * static_cast<double>(length.count()) / 3600) +
                     1);
}

// How far the true energy before `at` may be from the even spread, with no more than `most` flowing.
WattHours doubt(const EnergyStep& step, Instant at, Watts most) {
    const WattHours even = until(step, at);
    const WattHours highest = std::min(step.energy, at_most(most, at - step.when.begin));
    const WattHours lowest = std::max(WattHours(0), step.energy - at_most(most, step.when.end - at));
    return std::max({WattHours(0), highest - even, even - lowest});
}

void add(std::vector<CostPart>& parts, Interval when, WattHours energy, WattHours uncertain,
         const tariff::PricePiece& piece) {
    if (energy == WattHours(0) && uncertain == WattHours(0)) return;
    const bool same_cell = !parts.empty() && piece.when.begin <= parts.back().when.begin &&
                           next_quarter(parts.back().when.begin) > when.begin;
    if (same_cell) {
        parts.back().when.end = when.end;
        parts.back().energy += energy;
        parts.back().uncertain += uncertain;
    } else {
        parts.push_back({when, energy, uncertain, piece.name, piece.rate, piece.marginal, piece.assumed});
    }
}

}  // namespace

std::vector<CostPart> lay_on_prices(const std::vector<EnergyStep>& steps, const tariff::PriceCurve& prices,
                                    Watts most) {
    std::vector<CostPart> parts;
    for (const EnergyStep& step : steps) {
        if (step.energy == WattHours(0)) continue;
        Instant at = step.when.begin;
        WattHours before{0};
        WattHours in_doubt{0};  // of the step; over several prices no more than all of it
        while (at < step.when.end) {
            const tariff::PricePiece& piece = tariff::price_at(prices, at);
            const Instant next = std::min({step.when.end, piece.when.end, next_quarter(at)});
            const WattHours after = until(step, next);
            const bool price_changed = at == piece.when.begin && at != step.when.begin;
            const WattHours more =
                price_changed ? std::min(doubt(step, at, most), step.energy - in_doubt) : WattHours(0);
            add(parts, {at, next}, after - before, more, piece);
            in_doubt += more;
            at = next;
            before = after;
        }
    }
    return parts;
}

WattHours energy_of(const std::vector<CostPart>& parts) {
    return std::accumulate(parts.begin(), parts.end(), WattHours(0),
                           [](WattHours sum, const CostPart& part) { return sum + part.energy; });
}

ExactAmount cost_of(const std::vector<CostPart>& parts) {
    return std::accumulate(parts.begin(), parts.end(), ExactAmount{},
                           [](ExactAmount sum, const CostPart& part) { return sum + part.cost(); });
}

std::vector<CostPart> within(const std::vector<CostPart>& parts, Interval when) {
    std::vector<CostPart> chosen;
    std::ranges::copy_if(parts, std::back_inserter(chosen),
                         [&](const CostPart& part) { return when.contains(part.when.begin); });
    return chosen;
}

EnergySeries series_of(const std::vector<CostPart>& parts) {
    EnergySeries series;
    for (const CostPart& part : parts) series.push_back({part.when, MilliwattHours(part.energy)});
    return series;
}

std::vector<Money> shared_out(Money whole, const std::vector<ExactAmount>& exact, Money unit) {
    const Wide step = ExactAmount(unit).atto();
    std::vector<Money> parts;
    std::vector<Wide> remainders;
    Money sum;
    for (const ExactAmount amount : exact) {
        const Wide floor = (amount.atto() >= 0 ? amount.atto() : amount.atto() - step + 1) / step;
        parts.push_back(unit * static_cast<std::int64_t>(floor));
        remainders.push_back(amount.atto() - floor * step);
        sum += parts.back();
    }
    std::vector<std::size_t> order(exact.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order,
                             [&](std::size_t a, std::size_t b) { return remainders[a] > remainders[b]; });
    for (std::size_t i = 0; sum != whole && !order.empty(); i = (i + 1) % order.size()) {
        const Money one = sum < whole ? unit : -unit;
        parts[sum < whole ? order[i] : order[order.size() - 1 - i]] += one;
        sum += one;
    }
    return parts;
}

}  // namespace lullwatt::account
