// Short cars as alike as currents handed over slot by slot make them: soon done, always feasible, no proof.
//
// Pure functions; call from any thread.
#pragma once

#include <compare>
#include <cstdint>

#include "core/plan/joint_grid.hpp"
#include "core/plan/joint_price.hpp"

namespace lullwatt::plan {

// A share of a need: part / whole, both in thirds of a milliwatt-hour.
struct Share {
    Wide part = 0;
    Wide whole = 1;
    friend std::strong_ordering operator<=>(const Share& a, const Share& b) {
        const Wide one = a.part * b.whole;
        const Wide other = b.part * a.whole;
        return one < other   ? std::strong_ordering::less
               : one > other ? std::strong_ordering::greater
                             : std::strong_ordering::equal;
    }
    friend bool operator==(const Share& a, const Share& b) { return (a <=> b) == 0; }
};

// What a car is short with so many units.
[[nodiscard]] Share share_short(const JointGrid::Car& car, std::int64_t units);

// Until no car short gets more of what is left, no hand-over of one slot's current between two cars leaves
// the shorter one less short without the other becoming as short, and no car that starts beside one at its
// most does; 100 rounds a car at most. With many cars without the last, and only until `work` is hurried. The
// shares, greatest first, only get less. REQUIRES: `amps` feasible but for the needs.
void level(const JointGrid& grid, JointAmps& amps, const Work& work);

}  // namespace lullwatt::plan
