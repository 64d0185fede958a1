#include "core/circuit/grounding_conductor.hpp"

#include <algorithm>
#include <array>
#include <iterator>

namespace lullwatt::circuit {
namespace {

struct BondRow {
    double device;
    WireSize copper;
    WireSize aluminium;
};

// NEC table 250.122 as printed by two trade pages; older editions print rows of 30 and 40 A with equal sizes.
constexpr std::array<BondRow, 12> kBondRows = {{{15, WireSize::awg14, WireSize::awg12},
                                                {20, WireSize::awg12, WireSize::awg10},
                                                {60, WireSize::awg10, WireSize::awg8},
                                                {100, WireSize::awg8, WireSize::awg6},
                                                {200, WireSize::awg6, WireSize::awg4},
                                                {300, WireSize::awg4, WireSize::awg2},
                                                {400, WireSize::awg3, WireSize::awg1},
                                                {500, WireSize::awg2, WireSize::awg1_0},
                                                {600, WireSize::awg1, WireSize::awg2_0},
                                                {800, WireSize::awg1_0, WireSize::awg3_0},
                                                {1000, WireSize::awg2_0, WireSize::awg4_0},
                                                {1200, WireSize::awg3_0, WireSize::kcmil250}}};

constexpr double kNearMiss = 0.99;  // of the needed area, ours: near enough to be told

}  // namespace

std::optional<WireSize> tabulated_grounding(Metal metal, Amps device) {
    const auto row =
        std::ranges::find_if(kBondRows, [&](const BondRow& one) { return device.count() <= one.device; });
    if (row == kBondRows.end()) return std::nullopt;
    return metal == Metal::copper ? row->copper : row->aluminium;
}

std::optional<GroundingConductor> grounding_conductor(Metal metal, Amps device, WireSize minimum,
                                                      WireSize installed) {
    const auto tabulated = tabulated_grounding(metal, device);
    if (!tabulated) return std::nullopt;
    GroundingConductor found{.tabulated = *tabulated};
    // In whole circular mils, so that nothing is lost by dividing: size × minimum >= table × installed.
    const double upsized = std::max(area(installed).count(), area(minimum).count());
    const double wanted = area(*tabulated).count() * upsized;
    found.needed = CircularMils(wanted / area(minimum).count());
    const auto size = std::ranges::find_if(
        kWireSizes, [&](WireSize one) { return area(one).count() * area(minimum).count() >= wanted; });
    const auto cap = std::ranges::find(kWireSizes, installed);
    found.capped = size == kWireSizes.end() || size > cap;
    const auto chosen = found.capped ? cap : size;
    found.size = *chosen;
    found.chosen = area(*chosen);
    if (!found.capped && chosen != kWireSizes.begin() && *chosen > *tabulated) {
        const WireSize below = *std::prev(chosen);
        if (area(below) >= found.needed * kNearMiss) {
            found.just_missed = below;
            found.lacking = Percent((found.needed - area(below)).count() / found.needed.count() * 100);
        }
    }
    return found;
}

}  // namespace lullwatt::circuit
