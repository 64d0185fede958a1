#include "core/account/month.hpp"

#include <algorithm>
#include <map>

namespace lullwatt::account {
namespace {

Money minor_unit(int digits) {
    std::int64_t unit = 1;
    for (int digit = digits; digit < 6; ++digit) unit *= 10;
    return Money(unit);
}

// The unit that divides a whole: the minor one, or the finest where lines are not rounded to it.
Money unit_of(Money whole, int digits) {
    const Money minor = minor_unit(digits);
    return whole.count() % minor.count() == 0 ? minor : Money(1);
}

// What of `amount`, a session's, falls within `when`, by kilowatt-hours. Months' parts sum to it.
Money part_within(Money amount, const Session& session, Interval when) {
    const auto until = [&](Instant at) {
        Wide energy = 0;
        for (const CostPart& part : session.parts) energy += part.when.begin < at ? part.energy.count() : 0;
        return static_cast<std::int64_t>(nearest_quotient(energy * amount.count(), session.energy.count()));
    };
    return Money(until(when.end) - until(when.begin));
}

SessionShare share_of(const Session& session, const std::vector<CostPart>& parts, Interval when) {
    SessionShare share{.energy = energy_of(parts)};
    for (const CostPart& part : parts) share.uncertain += part.uncertain;
    share.uncertain = std::min(share.uncertain, share.energy);
    if (!session.at_once || !session.plain_timer || session.energy <= WattHours(0)) return share;
    share.compared = true;
    share.at_once = part_within(*session.at_once, session, when);
    share.plain_timer = part_within(*session.plain_timer, session, when);
    return share;
}

struct Total {
    WattHours energy;
    ExactAmount cost;
    Rate marginal;
};
using Totals = std::map<std::string, Total>;

void add_parts(Totals& totals, const std::vector<CostPart>& parts) {
    for (const CostPart& part : parts) {
        Total& total = totals[part.price];
        total.energy += part.energy;
        total.cost += part.cost();
        total.marginal = std::max(total.marginal, part.marginal);
    }
}

// Lines of the prices, cheapest first, in amounts that sum to what they come to together.
std::vector<PriceTotal> lines_of(const Totals& totals, int digits) {
    std::vector<std::pair<std::string, Total>> ordered(totals.begin(), totals.end());
    std::ranges::stable_sort(ordered, {}, [](const auto& entry) { return entry.second.marginal; });
    ExactAmount whole;
    std::vector<ExactAmount> exact;
    for (const auto& [price, total] : ordered) {
        whole += total.cost;
        exact.push_back(total.cost);
    }
    const std::vector<Money> costs = shared_out(rounded(whole, digits), exact, minor_unit(digits));
    std::vector<PriceTotal> lines;
    for (std::size_t i = 0; i < ordered.size(); ++i)
        lines.push_back({ordered[i].first, ordered[i].second.energy, costs[i]});
    return lines;
}

void share_out_cost(Month& month, const std::vector<CarsPart>& billed, int digits) {
    std::vector<ExactAmount> exact;
    for (const SessionShare& share : month.sessions) {
        ExactAmount sum;
        for (const CarsPart& part : billed) sum += ExactAmount(part.sessions[share.session]);
        exact.push_back(sum);
    }
    const std::vector<Money> costs = shared_out(month.total, exact, unit_of(month.total, digits));
    for (std::size_t i = 0; i < costs.size(); ++i) month.sessions[i].cost = costs[i];
}

}  // namespace

Month month_of(Interval when, const std::vector<Session>& sessions, const std::vector<CarsPart>& billed,
               int digits) {
    Month month{.when = when};
    Totals totals;
    ExactAmount compared;
    for (std::size_t i = 0; i < sessions.size(); ++i) {
        const std::vector<CostPart> parts = within(sessions[i].parts, when);
        if (parts.empty()) continue;
        SessionShare share = share_of(sessions[i], parts, when);
        share.session = i;
        add_parts(totals, parts);
        month.energy += share.energy;
        month.uncertain += share.uncertain;
        month.at_once += share.at_once;
        month.plain_timer += share.plain_timer;
        if (share.compared) compared += cost_of(parts);
        if (!share.compared) month.uncompared += share.energy;
        for (const CostPart& part : parts) month.assumed = month.assumed || part.assumed;
        month.sessions.push_back(share);
    }
    month.compared = rounded(compared, 6);
    month.prices = lines_of(totals, digits);
    for (const CarsPart& part : billed) month.total += part.whole;
    month.beyond = month.total;
    for (const PriceTotal& line : month.prices) month.beyond -= line.cost;
    share_out_cost(month, billed, digits);
    return month;
}

EnergySeries sum_of(const std::vector<EnergySeries>& sessions) {
    std::vector<Instant> edges;
    for (const EnergySeries& series : sessions) {
        for (const EnergyReading& reading : series) {
            edges.push_back(reading.when.begin);
            edges.push_back(reading.when.end);
        }
    }
    std::ranges::sort(edges);
    edges.erase(std::unique(edges.begin(), edges.end()), edges.end());
    std::map<Instant, EnergyReading> pieces;
    for (const EnergySeries& series : sessions) {
        for (const EnergyReading& reading : series) {
            const auto until = [&](Instant at) {
                return static_cast<std::int64_t>(nearest_quotient(
                    static_cast<Wide>(reading.energy.count()) * (at - reading.when.begin).count(),
                    reading.when.length().count()));
            };
            for (auto edge = std::ranges::lower_bound(edges, reading.when.begin); *edge < reading.when.end;
                 ++edge) {
                EnergyReading& piece = pieces[*edge];
                piece.when = {*edge, *(edge + 1)};
                piece.energy += MilliwattHours(until(*(edge + 1)) - until(*edge));
            }
        }
    }
    EnergySeries sum;
    for (const auto& [begin, piece] : pieces) sum.push_back(piece);
    return sum;
}

}  // namespace lullwatt::account
