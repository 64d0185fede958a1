#include "core/account/session.hpp"

#include <algorithm>

namespace lullwatt::account {

Session settle(const SessionFacts& facts, const RegisterRules& rules, const tariff::PriceCurve& prices) {
    std::vector<RegisterReading> readings;
    std::ranges::copy_if(facts.readings, std::back_inserter(readings), [&](const RegisterReading& reading) {
        return facts.plugged_in.begin <= reading.at && reading.at <= facts.plugged_in.end;
    });
    const Counted counted = count_register(std::move(readings), rules);
    Session session{.plugged_in = facts.plugged_in,
                    .evidence = facts.evidence,
                    .energy = counted.energy,
                    .uncounted = counted.uncounted,
                    .resets = counted.resets,
                    .rollovers = counted.rollovers,
                    .breaks = counted.breaks,
                    .dropped = counted.dropped,
                    .parts = lay_on_prices(counted.steps, prices, rules.most)};
    for (const CostPart& part : session.parts) session.uncertain += part.uncertain;
    session.uncertain = std::min(session.uncertain, session.energy);
    return session;
}

std::optional<Money> cost_from(Instant start, const FullCurrent& charge, const tariff::PriceCurve& prices) {
    const double seconds = static_cast<double>(charge.energy.count()) * 3600 / charge.power.count();
    const Seconds length{static_cast<std::int64_t>(seconds) + 1};
    if (prices.back().when.end < start + length) return std::nullopt;
    const auto parts = lay_on_prices({{{start, start + length}, charge.energy}}, prices, charge.power);
    return rounded(cost_of(parts), 6);
}

Instant plain_timer_start(Instant plugged_in, std::optional<Seconds> own, const Zone& clock,
                          const tariff::PriceCurve& prices) {
    if (own) {
        const auto today = date::floor<date::days>(clock.civil(plugged_in));
        const Instant start = clock.instant(today + *own);
        return start >= plugged_in ? start : clock.instant(today + date::days{1} + *own);
    }
    const tariff::PricePiece* cheapest = nullptr;
    for (const tariff::PricePiece& piece : prices) {
        if (piece.when.end <= plugged_in || plugged_in + date::days{1} <= piece.when.begin) continue;
        if (cheapest == nullptr || piece.marginal < cheapest->marginal) cheapest = &piece;
    }
    return cheapest == nullptr ? plugged_in : std::max(plugged_in, cheapest->when.begin);
}

WattHours between_sessions(const std::vector<std::vector<RegisterReading>>& sessions) {
    WattHours sum{0};
    std::optional<WattHours> last;
    for (const auto& readings : sessions) {
        if (readings.empty()) continue;
        const auto [first, final] = std::ranges::minmax_element(readings);
        if (last && first->value > *last) sum += first->value - *last;
        last = final->value;
    }
    return sum;
}

}  // namespace lullwatt::account
