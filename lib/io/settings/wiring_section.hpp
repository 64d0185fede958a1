// How a node of the site is wired, as `lullwatt circuit` judges it.
//
// Values; safe to read from any thread.
#pragma once

#include <optional>
#include <string>

#include "core/circuit/conductor.hpp"
#include "core/circuit/metric_sizing.hpp"
#include "core/circuit/raceway.hpp"
#include "core/site/site.hpp"
#include "io/fault/fault.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// A cable by IEC 60364 or BS 7671. What its installer measured or decided is entered as they wrote it; an
// empty field was not checked.
struct CableSettings {
    circuit::RunCase run;  // with the node's rating as its device, and as design current
    circuit::SquareMillimetres size;
    std::optional<std::string> zs;
    std::optional<std::string> earthing;
    std::optional<std::string> residual_current;
    std::optional<std::string> open_pen;
    std::optional<bool> surge_protection;
    std::optional<bool> notified;
};

// The conduit a wire goes through, with what is in it already.
struct RacewaySettings {
    circuit::Raceway raceway = circuit::Raceway::emt;
    circuit::TradeSize size = circuit::TradeSize::half;
    circuit::ConductorMix already;
};

// Conductors by the NEC or the CEC.
struct WireSettings {
    circuit::ConductorCase conductor;  // with the node's rating as its device, and as lasting current
    circuit::WireSize size = circuit::WireSize::awg14;
    Metres length;
    bool detached = false;  // leads to another building
    bool neutral = false;   // beside the legs; a single-phase circuit has one anyhow
    std::optional<RacewaySettings> raceway;
};

struct Wiring {
    std::optional<CableSettings> cable;
    std::optional<WireSettings> wire;
};

// Of the mapping of a feeder or circuit that became `node`. `edition`: of the dwelling's code; 0 where it
// says none.
[[nodiscard]] Wiring read_wiring(const Section& section, const site::Site& site, const site::Node& node,
                                 int edition, Faults& faults);

}  // namespace lullwatt::io
