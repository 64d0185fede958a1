// A charge for the highest mean power of a bill, as one night can raise it.
//
// Plain values and pure functions; call from any thread.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "core/plan/exact.hpp"

namespace lullwatt::plan {

inline constexpr std::int64_t kAllCounts = 1'000'000;

// A demand interval that slots [first, last) of a night lie in, or reach into.
struct CountedInterval {
    std::size_t first = 0;
    std::size_t last = 0;
    Seconds length{900};              // of the whole interval, also outside the night. REQUIRES: above 0
    Milliwatts house;                 // the expected mean of everything but the car, over the whole interval
    std::int64_t share = kAllCounts;  // of it that counts, in millionths. REQUIRES: above 0
};

struct PeakCharge {
    std::string name;
    // What the bill counts whatever the car does: the peak so far and, in this night, the house alone.
    // REQUIRES: no interval's house counts more.
    Milliwatts free;
    std::vector<CountedInterval> intervals;  // ascending
    // What the bill charges for a peak, tax included. REQUIRES: pure, never falling.
    std::function<ExactAmount(Milliwatts)> cost;

    // What a peak adds to the bill, in thirds of 1e-18 of the currency.
    [[nodiscard]] Wide added_thirds(Milliwatts peak) const;
};

// What the car may take in an interval under a cap, in thirds of a milliwatt-hour; never below 0.
[[nodiscard]] Wide room_thirds(const CountedInterval& interval, Milliwatts cap);

// The peak that a plan's currents reach, at least `free`. A slot on the edge of two intervals counts wholly
// in both. REQUIRES: `drawn` has one entry per slot.
[[nodiscard]] Milliwatts reached(const PeakCharge& charge, const Problem& problem,
                                 const std::vector<WholeAmps>& drawn);

// The charge for the same night plugged in at the begin of a slot.
[[nodiscard]] PeakCharge from_slot(PeakCharge charge, std::size_t slot);

}  // namespace lullwatt::plan
