// How the wires of a household suit what its points are set to, and what they lose.
//
// Values and pure functions over a household; call from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/circuit/conductor.hpp"
#include "core/circuit/grounding_conductor.hpp"
#include "core/circuit/metric_sizing.hpp"
#include "core/circuit/voltage_drop.hpp"
#include "io/household/household.hpp"

namespace lullwatt::tools {

// What the cars on a node draw in a year, and what a kilowatt-hour costs them.
struct YearOfCharging {
    double kilowatt_hours = 0;
    bool assumed = false;      // no habits to add up: 2,500 kWh a year is ours
    std::optional<Rate> rate;  // the cheapest of the week ahead; empty where prices do not reach
};

struct WireLoss {
    Watts watts;
    double kilowatt_hours_a_year = 0;
};

struct CableOption {
    circuit::SizeJudgement judgement;
    WireLoss loss;
    bool installed = false;
};

// One conductor by the NEC or the CEC, and what goes with it.
struct ConductorOption {
    circuit::ConductorCase conductor;
    circuit::ConductorJudgement judgement;
    std::optional<circuit::RunDrop> direct;                // table 8, stranded
    std::optional<circuit::RunDrop> alternating;           // table 9 at power factor 1
    std::optional<WireLoss> loss;                          // by the greater of the two
    std::optional<circuit::GroundingConductor> grounding;  // NEC
    bool installed = false;

    // The greater of the two; empty where no table has the size.
    [[nodiscard]] std::optional<circuit::RunDrop> worst_drop() const;
};

struct RacewayAnswer {
    std::optional<circuit::RacewayFill> fill;    // with what is in it; empty: a size that no table has
    std::optional<circuit::TradeSize> smallest;  // of the same kind, for all of it
};

struct NodeWiring {
    std::size_t node = 0;
    WholeAmps current;  // on its most loaded leg: all points at what they are set to, and the house there
    WholeAmps house;    // of it: the worst load of what hangs there beside the points
    circuit::Percent dropped_before;  // by the described wires between it and the service
    YearOfCharging year;
    std::vector<CableOption> cables;          // by IEC: the installed one and those around it
    std::vector<ConductorOption> conductors;  // by NEC or CEC: the installed one, then what else would do
    std::optional<RacewayAnswer> raceway;     // of the installed one
};

// C22.1 8-102: more than 3 % along this wire, or 5 % with those above it. The NEC only advises.
[[nodiscard]] bool drops_too_much(const ConductorOption& option, const NodeWiring& at);

// What may last on a described wire or cable. One that cannot be judged bears nothing that anybody knows of.
struct WireBears {
    WholeAmps most;
    bool judged = true;
};
// Empty: none is described.
[[nodiscard]] std::optional<WireBears> wire_bears(const io::Wiring& wiring);

// Every node that has a wire described. `now`: the prices of the week ahead count.
[[nodiscard]] std::vector<NodeWiring> judge_wiring(const io::Household& house, Instant now);

}  // namespace lullwatt::tools
