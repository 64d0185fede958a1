// How the wires of a household suit what its points are set to, and what they lose.
//
// Values and pure functions over a household; call from any thread.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/circuit/metric_sizing.hpp"
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

struct NodeWiring {
    std::size_t node = 0;
    WholeAmps current;  // all points on it at what they are set to
    YearOfCharging year;
    std::vector<CableOption> cables;  // by IEC: the installed one and those around it
};

// Every node that has a wire described. `span` is the time whose prices count.
[[nodiscard]] std::vector<NodeWiring> judge_wiring(const io::Household& house, Instant now);

}  // namespace lullwatt::tools
