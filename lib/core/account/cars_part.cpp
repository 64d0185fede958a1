#include "core/account/cars_part.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <utility>

#include "core/account/use.hpp"

namespace lullwatt::account {
namespace {

using tariff::Tariff;

// The kinds of lines a session's part is found differently for.
enum Share : std::size_t { kEnergy, kBlocks, kDemand, kShares };
using Shares = std::array<Wide, kShares>;

std::optional<Share> share_of(Part part) {
    switch (part) {
        case Part::window:
        case Part::adder:
        case Part::exported:
            return kEnergy;
        case Part::block:
            return kBlocks;
        case Part::demand:
            return kDemand;
        default:
            return std::nullopt;
    }
}

MilliwattHours energy_within(const EnergySeries& series, Interval when) {
    MilliwattHours sum;
    const auto first = std::ranges::upper_bound(
        series, when.begin, {}, [](const EnergyReading& reading) { return reading.when.end; });
    for (auto reading = first; reading != series.end() && reading->when.begin < when.end; ++reading) {
        const auto until = [&](Instant at) {
            const Seconds elapsed =
                std::clamp(at, reading->when.begin, reading->when.end) - reading->when.begin;
            return static_cast<std::int64_t>(
                nearest_quotient(static_cast<Wide>(reading->energy.count()) * elapsed.count(),
                                 reading->when.length().count()));
        };
        sum += MilliwattHours(until(when.end) - until(when.begin));
    }
    return sum;
}

// What a session's energy costs hour by hour, in 1e-9; adders included.
Wide own_cost(const Tariff& tariff, const tariff::Stretches& stretches, const EnergySeries& session) {
    Wide sum = 0;
    for (const tariff::Stretch& stretch : stretches) {
        if (session.empty() || stretch.when.end <= session.front().when.begin ||
            session.back().when.end <= stretch.when.begin)
            continue;
        const Wide energy = energy_within(session, stretch.when).count();
        if (energy == 0) continue;
        Wide rate = static_cast<Wide>(stretch.rate.count()) * stretch.loss_factor / tariff::kWhole;
        for (const tariff::Adder& adder : tariff.revisions[stretch.revision].adders) {
            if (applies(adder, stretch))
                rate += static_cast<Wide>(adder.rate.count()) * adder.loss_factor / tariff::kWhole;
        }
        sum += energy * rate / 1'000'000'000;
    }
    return sum;
}

Shares weights_of(const Tariff& tariff, const tariff::Stretches& stretches, Interval span,
                  const EnergySeries& session, const std::vector<PeakTime>& peaks) {
    Shares weights{};
    weights[kEnergy] = own_cost(tariff, stretches, session);
    weights[kBlocks] = energy_within(session, span).count();
    for (const PeakTime& peak : peaks) weights[kDemand] += energy_within(session, peak.when).count();
    return weights;
}

// Beyond a micro-unit, so that small parts of several kinds add up truly.
constexpr Wide kFine = 1'000'000'000;

// whole × weight / sum in 1e-15, where weights do not settle it by energy.
Wide part_of(Wide whole, const std::vector<Shares>& weights, std::size_t session, Share share) {
    const auto sum_of = [&](Share by) {
        Wide sum = 0;
        for (const Shares& each : weights) sum += each[by];
        return sum;
    };
    const Share by = sum_of(share) > 0 ? share : kBlocks;
    const Wide sum = sum_of(by);
    return sum <= 0 ? 0 : whole * kFine * weights[session][by] / sum;
}

// Rounds parts down and gives what is left to the largest remainders; of equals to the earlier session, so
// that their order in the list does not matter.
std::vector<Money> settled(Money whole, const std::vector<Wide>& fine,
                           const std::vector<EnergySeries>& sessions) {
    std::vector<Money> parts;
    std::vector<Wide> remainders;
    Money sum;
    for (const Wide part : fine) {
        const Wide floor = (part >= 0 ? part : part - kFine + 1) / kFine;
        parts.emplace_back(static_cast<std::int64_t>(floor));
        remainders.push_back(part - floor * kFine);
        sum += parts.back();
    }
    std::vector<std::size_t> order(fine.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto begin = [&](std::size_t i) {
        return sessions[i].empty() ? Instant{} : sessions[i].front().when.begin;
    };
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) {
        if (remainders[a] != remainders[b]) return remainders[a] > remainders[b];
        return begin(a) < begin(b);
    });
    for (std::size_t i = 0; sum != whole && !order.empty(); i = (i + 1) % order.size()) {
        const Money one(sum < whole ? 1 : -1);
        parts[order[i]] += one;
        sum += one;
    }
    return parts;
}

// Money by kind of line; what is no kind of its own last.
std::array<Wide, kShares + 1> by_share(const Bill& bill) {
    std::array<Wide, kShares + 1> sums{};
    for (const Line& line : bill.lines) {
        const auto share = share_of(line.part);
        sums[share ? std::size_t{*share} : std::size_t{kShares}] += line.amount.count();
    }
    return sums;
}

// Each session's part in 1e-15.
std::vector<Wide> parts_of(const std::array<Wide, kShares + 1>& wholes, const std::vector<Shares>& weights) {
    std::vector<Wide> fine(weights.size());
    for (std::size_t i = 0; i < weights.size(); ++i) {
        for (const Share share : {kEnergy, kBlocks, kDemand})
            fine[i] += part_of(wholes[share], weights, i, share);
    }
    // Percentages, minimums and rounding go by what each took of the rest, coarse enough that products fit.
    std::vector<Wide> taken;
    Wide sum = 0;
    for (const Wide part : fine) {
        taken.push_back(std::max<Wide>(0, part / 1'000'000));
        sum += taken.back();
    }
    for (std::size_t i = 0; i < fine.size(); ++i) {
        fine[i] += sum > 0 ? wholes[kShares] * kFine * taken[i] / sum
                           : part_of(wholes[kShares], weights, i, kBlocks);
    }
    return fine;
}

}  // namespace

Metered without(const Metered& usage, const std::vector<EnergySeries>& sessions, MilliwattHours& missing) {
    Metered less = usage;
    // What a car took beyond the meter's reading came from the roof, and would have been given back.
    const bool net = std::ranges::any_of(
        usage.taken, [](const EnergyReading& reading) { return reading.energy < MilliwattHours(0); });
    const auto give_back = [&](const EnergyReading& taken, MilliwattHours energy) {
        const auto same = std::ranges::lower_bound(
            less.given, taken.when.begin, {}, [](const EnergyReading& given) { return given.when.begin; });
        if (same == less.given.end() || same->when != taken.when) return false;
        same->energy += energy;
        return true;
    };
    for (EnergyReading& reading : less.taken) {
        MilliwattHours cars;
        for (const EnergySeries& session : sessions) {
            if (session.empty() || session.back().when.end <= reading.when.begin ||
                reading.when.end <= session.front().when.begin)
                continue;
            cars += energy_within(session, reading.when);
        }
        const MilliwattHours counted = net ? cars : std::min(cars, reading.energy);
        reading.energy -= counted;
        const MilliwattHours beyond = cars - counted;
        if (beyond > MilliwattHours(0) && !give_back(reading, beyond)) missing += beyond;
    }
    return less;
}

std::variant<CarsPart, Refusal> cars_part(const Tariff& tariff, const Zone& clock, DateSpan days,
                                          const Metered& usage, const std::vector<EnergySeries>& sessions,
                                          const Terms& terms, const Carried& before) {
    CarsPart part;
    const auto with = bill(tariff, clock, days, usage, terms, before);
    if (const auto* refusal = std::get_if<Refusal>(&with)) return *refusal;
    const auto bare = bill(tariff, clock, days, without(usage, sessions, part.missing), terms, before);
    if (const auto* refusal = std::get_if<Refusal>(&bare)) return *refusal;
    part.whole = std::get<Bill>(with).total - std::get<Bill>(bare).total;

    const Interval span = instants_of(tariff, clock, days);
    const auto found = tariff::stretches(tariff, clock, span);
    const auto& stretches = std::get<tariff::Stretches>(found);
    std::vector<Shares> weights;
    for (const EnergySeries& session : sessions)
        weights.push_back(weights_of(tariff, stretches, span, session, std::get<Bill>(with).peaks));
    auto wholes = by_share(std::get<Bill>(with));
    const auto less = by_share(std::get<Bill>(bare));
    for (std::size_t i = 0; i < wholes.size(); ++i) wholes[i] -= less[i];
    part.sessions = settled(part.whole, parts_of(wholes, weights), sessions);
    return part;
}

}  // namespace lullwatt::account
