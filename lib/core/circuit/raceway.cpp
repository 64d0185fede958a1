#include "core/circuit/raceway.hpp"

#include <algorithm>

namespace lullwatt::circuit {
namespace {

struct Inside {
    double forty_percent;
    double total;
};

// NEC chapter 9 table 4: EMT, PVC schedule 40, PVC schedule 80; 1/2 to 2.
constexpr std::array<std::array<Inside, 6>, 3> kInside = {{
    {{{0.122, 0.304}, {0.213, 0.533}, {0.346, 0.864}, {0.598, 1.496}, {0.814, 2.036}, {1.342, 3.356}}},
    {{{0.114, 0.285}, {0.203, 0.508}, {0.333, 0.832}, {0.581, 1.453}, {0.794, 1.986}, {1.316, 3.291}}},
    {{{0.087, 0.217}, {0.164, 0.409}, {0.275, 0.688}, {0.495, 1.237}, {0.684, 1.711}, {1.150, 2.874}}},
}};

// NEC chapter 9 table 5, THHN, THWN, THWN-2: 14 to 4/0 AWG.
constexpr std::array<double, 13> kCovered = {0.0097, 0.0133, 0.0211, 0.0366, 0.0507, 0.0824, 0.0973,
                                             0.1158, 0.1562, 0.1855, 0.2223, 0.2679, 0.3237};

const Inside& of(Raceway raceway, TradeSize size) {
    return kInside[static_cast<std::size_t>(raceway)][static_cast<std::size_t>(size)];
}

}  // namespace

std::string_view name(TradeSize size) {
    static constexpr std::array<std::string_view, 6> kNames = {"1/2", "3/4", "1", "1-1/4", "1-1/2", "2"};
    return kNames[static_cast<std::size_t>(size)];
}

SquareInches inside(Raceway raceway, TradeSize size) { return SquareInches(of(raceway, size).total); }

std::optional<SquareInches> covered_area(WireSize size) {
    const auto at = static_cast<std::size_t>(size);
    if (at >= kCovered.size()) return std::nullopt;
    return SquareInches(kCovered[at]);
}

std::optional<RacewayFill> raceway_fill(Raceway raceway, TradeSize size, const ConductorMix& mix) {
    RacewayFill fill;
    for (const Conductors& some : mix) {
        const auto each = covered_area(some.size);
        if (!each) return std::nullopt;
        fill.count += some.count;
        fill.area += *each * static_cast<double>(some.count);
    }
    const Inside& room = of(raceway, size);
    const double share = fill.count > 2 ? 0.40 : fill.count == 2 ? 0.31 : 0.53;
    fill.allowed = SquareInches(room.total * share);
    if (fill.count > 2) fill.allowed = std::min(fill.allowed, SquareInches(room.forty_percent));
    return fill;
}

std::optional<TradeSize> smallest_raceway(Raceway raceway, const ConductorMix& mix) {
    for (const TradeSize size : kTradeSizes) {
        const auto fill = raceway_fill(raceway, size, mix);
        if (fill && fill->fits()) return size;
    }
    return std::nullopt;
}

std::optional<int> most_conductors(Raceway raceway, TradeSize size, WireSize wire) {
    if (!covered_area(wire)) return std::nullopt;
    // Of one size three fit only where two do: a third of 40 % is less than half of 31 %.
    int most = 0;
    for (int count = 1; raceway_fill(raceway, size, {{count, wire}})->fits(); ++count) most = count;
    return most;
}

}  // namespace lullwatt::circuit
