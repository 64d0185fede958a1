// The equipment grounding conductor of wire type: NEC 250.122, and what larger circuit conductors ask of it.
//
// Pure functions over plain values; call from any thread. C22.1 has rules of its own, which were found in no
// document read.
#pragma once

#include <optional>

#include "core/circuit/metric_units.hpp"
#include "core/circuit/wire_size.hpp"

namespace lullwatt::circuit {

// Table 250.122, 15 to 1200 A; a device between two rows has the larger one's. Empty above, and where the
// table's size is larger than 500 kcmil.
[[nodiscard]] std::optional<WireSize> tabulated_grounding(Metal metal, Amps device);

struct GroundingConductor {
    WireSize size = WireSize::awg14;
    WireSize tabulated = WireSize::awg14;
    CircularMils needed;                  // table × installed / minimum; never rounded
    CircularMils chosen;                  // of `size`
    std::optional<WireSize> just_missed;  // the next smaller one, where it lacks at most 1 %
    Percent lacking;                      // of the needed area, by just_missed
    bool capped = false;                  // (A): no larger than the circuit conductors
};

// 250.122(B), strict: the smallest size of at least the needed area. `minimum` is the smallest conductor that
// suits the circuit after every correction; `installed` what is there. Both of `metal`. Empty above the
// table, or beyond 500 kcmil.
[[nodiscard]] std::optional<GroundingConductor> grounding_conductor(Metal metal, Amps device,
                                                                    WireSize minimum, WireSize installed);

}  // namespace lullwatt::circuit
