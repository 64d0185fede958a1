// Whether conductors fit a raceway, with what is in it already: NEC chapter 9, tables 1, 4 and 5.
//
// Constants and pure functions; call from any thread. Areas as printed in square inches.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "core/circuit/wire_size.hpp"

namespace lullwatt::circuit {

struct SquareInchUnit;
using SquareInches = Quantity<SquareInchUnit, double>;

enum class Raceway : std::uint8_t { emt, pvc_40, pvc_80 };  // PVC schedule 40 counts for HDPE too
enum class TradeSize : std::uint8_t { half, three_quarters, one, one_and_quarter, one_and_half, two };

inline constexpr std::array kTradeSizes{TradeSize::half,         TradeSize::three_quarters,
                                        TradeSize::one,          TradeSize::one_and_quarter,
                                        TradeSize::one_and_half, TradeSize::two};

// "3/4", "1-1/4".
[[nodiscard]] std::string_view name(TradeSize size);

// The whole inside, table 4.
[[nodiscard]] SquareInches inside(Raceway raceway, TradeSize size);

// A conductor of THHN, THWN or THWN-2 with its insulation, table 5. Empty above 4/0 AWG.
[[nodiscard]] std::optional<SquareInches> covered_area(WireSize size);

struct Conductors {
    int count = 0;  // grounding conductors count too
    WireSize size = WireSize::awg14;
};
using ConductorMix = std::vector<Conductors>;

struct RacewayFill {
    int count = 0;
    SquareInches area;     // of all conductors
    SquareInches allowed;  // 53 % of the inside for one conductor, 31 % for two, 40 % for more (table 1)
    [[nodiscard]] bool fits() const { return area.count() <= allowed.count() + 1e-9; }
};

// Empty where a size is not in table 5. Of the 40 % that table 4 prints rounded and 40 % of the inside, the
// lesser holds.
[[nodiscard]] std::optional<RacewayFill> raceway_fill(Raceway raceway, TradeSize size,
                                                      const ConductorMix& mix);

// Empty where none up to 2 in holds the mix, or a size is not in table 5. By table 1 a third, thin conductor
// may take two thick ones from 31 to 40 %, and so to a smaller raceway; from three on more never take less.
[[nodiscard]] std::optional<TradeSize> smallest_raceway(Raceway raceway, const ConductorMix& mix);

// How many conductors of one size fit, all of them alike. Empty for a size not in table 5.
[[nodiscard]] std::optional<int> most_conductors(Raceway raceway, TradeSize size, WireSize wire);

}  // namespace lullwatt::circuit
