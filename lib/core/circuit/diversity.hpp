// A household's maximum demand by the British guide's diversity, against its main fuse, and the unbalance of
// phases.
//
// Plain values and pure functions; call from any thread. Guidance, not a rule: the designer may differ.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/circuit/metric_units.hpp"

namespace lullwatt::circuit {

// The rows of IET On-Site Guide Table A2 for an individual household, and the charging point of BS 7671
// 722.311.
enum class HouseholdUse : std::uint8_t {
    lighting,
    heating_and_power,  // what no other row names
    cooking,
    instantaneous_water,  // showers
    without_diversity,    // thermostatic water heaters, floor warming, storage heating
    final_circuit,        // standard rings and radials, by their device's rating
    socket_or_fixed,      // other sockets and fixed equipment
    charging_point,
};

struct HouseholdLoad {
    std::string name;
    HouseholdUse use = HouseholdUse::heating_and_power;
    Amps current;              // connected, on the phase looked at
    bool with_socket = false;  // cooking: its control unit has a socket
};

// One row of the guide with the loads that it takes together.
struct DemandLine {
    HouseholdUse use = HouseholdUse::lighting;
    std::vector<std::string> loads;
    Amps connected;
    Amps demand;
    std::string_view rule;  // its words, with the source
};

struct HouseholdDemand {
    std::vector<DemandLine> lines;  // in the order of HouseholdUse, rows without loads left out
    Amps total;
};

// Of one phase. REQUIRES: every current >= 0.
[[nodiscard]] HouseholdDemand household_demand(std::span<const HouseholdLoad> loads);

inline constexpr std::array<Amps, 3> kMainFuses{Amps(60), Amps(80), Amps(100)};  // of British cut-outs

struct MainFuseCheck {
    Amps demand;
    Amps fuse;
    bool fits = false;
    WholeAmps left;  // whole amperes that a further charging point may take; 0 where nothing is left
};
[[nodiscard]] MainFuseCheck check_main_fuse(Amps demand, Amps fuse);

// How far the phases may differ by a network operator's rule.
struct UnbalanceRule {
    Amps most;
    std::string_view source;
    Evidence evidence = Evidence::one_source;
};
inline constexpr UnbalanceRule kGermanUnbalance{
    Amps(20), "VDE-AR-N 4100: 4.6 kVA (20 A at 230 V) between phases", Evidence::one_source};

struct UnbalanceCheck {
    Amps difference;       // between the most and the least loaded phase
    VoltAmperes apparent;  // the same at the voltage given
    Amps most;
    bool within = false;
};
// Of what a charging installation draws per phase.
[[nodiscard]] UnbalanceCheck check_unbalance(const std::array<Amps, 3>& per_phase, const UnbalanceRule& rule,
                                             Volts line_to_neutral);

}  // namespace lullwatt::circuit
