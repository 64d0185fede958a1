#include "core/circuit/pilot.hpp"

#include <array>
#include <cassert>
#include <cmath>

namespace lullwatt::circuit {
namespace {

constexpr Amps kLeast{6};
constexpr Amps kMost{80};
constexpr Amps kLowerRangeEnds{51};     // 0.6 × 85 %
constexpr Amps kUpperRangeAbove{52.5};  // 2.5 × (85 - 64) %, itself not in the range

struct Edges {
    double least_from;  // 6 A from here up to 10 %
    double most_to;     // 80 A from 96 % up to here
};

Edges edges(PilotStandard standard) {
    return standard == PilotStandard::iec_61851_1 ? Edges{8.0, 97.0} : Edges{9.5, 96.5};
}

PilotReading grants(Amps current) { return {PilotMeaning::current, current}; }

struct Coding {
    Ohms resistor;
    Amps rating;
};
constexpr std::array<Coding, 4> kCodings{
    {{Ohms(1500), Amps(13)}, {Ohms(680), Amps(20)}, {Ohms(220), Amps(32)}, {Ohms(100), Amps(63)}}};
constexpr double kCodingTolerance = 0.10;

}  // namespace

PilotReading pilot_reading(Percent duty, PilotStandard standard) {
    const double percent = duty.count();
    assert(percent >= 0 && percent <= 100);
    const auto [least_from, most_to] = edges(standard);
    if (percent >= 3 && percent <= 7) return {PilotMeaning::digital_communication, Amps(0)};
    if (percent < least_from || percent > most_to) return {};
    if (percent < 10) return grants(kLeast);
    if (percent <= 85) return grants(Amps(0.6 * percent));
    if (percent <= 96) return grants(Amps(2.5 * (percent - 64)));
    return grants(kMost);
}

std::optional<PilotSignal> pilot_signal(Amps wanted) {
    if (!(wanted >= kLeast)) return std::nullopt;
    if (wanted > kMost) wanted = kMost;
    if (wanted > kLowerRangeEnds && wanted <= kUpperRangeAbove) wanted = kLowerRangeEnds;
    const double amps = wanted.count();
    return PilotSignal{Percent(wanted <= kLowerRangeEnds ? amps / 0.6 : amps / 2.5 + 64), wanted};
}

std::optional<Amps> cable_rating(Ohms proximity) {
    for (const auto& [resistor, rating] : kCodings) {
        const Ohms apart{std::abs((proximity - resistor).count())};
        if (apart <= kCodingTolerance * resistor) return rating;
    }
    return std::nullopt;
}

EffectiveLimit effective_limit(const PilotReading& pilot, std::optional<Amps> cable, Amps equipment) {
    EffectiveLimit limit{pilot.current, LimitedBy::pilot};
    if (cable && *cable < limit.current) limit = {*cable, LimitedBy::cable};
    if (equipment < limit.current) limit = {equipment, LimitedBy::equipment};
    return limit;
}

}  // namespace lullwatt::circuit
