// What a dwelling's supply already carries, by its meter instead of a load calculation: NEC 220.87, CEC
// 8-106.
//
// Pure functions over plain values; call from any thread. Every condition of the rule is judged by itself and
// told with its figures; where one is not met there is no result to rely on.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/circuit/load.hpp"
#include "core/time/energy_series.hpp"

namespace lullwatt::circuit {

// How the cars charged while the meter recorded. Whatever held them back (a plan, a timer, a limiter) hides
// what they would have added to the peak.
enum class CarsInData : std::uint8_t { none, never_held_back, held_back };

struct MeasuredInput {
    Code code = Code::nec;
    EnergySeries total;              // all legs together
    std::vector<EnergySeries> legs;  // leg by leg, where the meter tells them apart
    CarsInData cars = CarsInData::held_back;
    EnergySeries cars_metered;  // the cars' own part, by the same intervals; empty: not metered
    bool generation_or_storage = false;
    bool occupied = false;                // by the household's word
    std::optional<VoltAmperes> seasonal;  // heating or cooling that the data does not hold; stated, may be 0
    double power_factor = 1;              // 0 to 1: what the meter's kilowatts are of its kilovolt-amperes
    std::optional<double> hourly_correction;  // for readings longer than a quarter of an hour, at least 1
    Volts across;                             // of the two legs, or line to line
    bool three_phase = false;
    Amps service;
};

struct Condition {
    std::string rule;
    std::string what;     // what is asked for
    std::string figures;  // what there is
    bool met = false;
};

struct MeasuredDemand {
    std::vector<Condition> conditions;
    bool calculated = false;  // the cars' part was subtracted: calculated, not measured; ask the authority
    VoltAmperes greatest;     // of the mean of one reading, after power factor and correction
    std::optional<Interval> when;  // empty: nothing was drawn
    Amps demand;                   // of the most loaded leg, seasonal loads included
    double factor = 1;             // what the rule multiplies it by
    Amps limit;                    // what the supply may carry by this rule
    // A quarter of an hour that lies across readings may have carried up to this; for readings of a quarter
    // of an hour.
    std::optional<VoltAmperes> sliding_bound;

    [[nodiscard]] bool usable() const;
    // For new loads, per leg; never negative.
    [[nodiscard]] Amps left() const;
    // The most whole amperes one new equipment may be set to, itself counted at `share` of its setting (1 or
    // 1.25), beside `others`: all else that is new, as the rule counts it.
    [[nodiscard]] std::optional<WholeAmps> largest_setting(double share, Amps others = {}) const;
};

// `now`: the data is to be recent, its last reading at most 60 days old (ours).
// REQUIRES: power_factor above 0; across above 0; an hourly correction of at least 1.
[[nodiscard]] MeasuredDemand measured_demand(const MeasuredInput& input, Instant now);

}  // namespace lullwatt::circuit
