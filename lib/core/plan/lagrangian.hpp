// The Lagrangian bound: the need is priced at a multiplier instead of demanded, which leaves an automaton of
// three states that one pass over the slots solves.
//
// Pure functions; call from any thread.
#pragma once

#include <cstdint>
#include <vector>

#include "core/plan/grid.hpp"

namespace lullwatt::plan {

// Least cost minus multiplier × energy from a slot on, by the state the car enters it in. `never` is apart
// from `off` because the first start cannot be avoided: that closes most of the gap.
struct CostToGo {
    Wide never = 0;
    Wide off = 0;
    Wide on = 0;
};

struct Relaxation {
    Wide multiplier = 0;          // cost of one unit
    std::vector<CostToGo> to_go;  // one per slot and one behind the last
};

struct Dual : Relaxation {
    std::int64_t target = 0;  // the end of [need, limit] the multiplier pulls towards
    Wide bound = 0;           // no feasible plan costs less
};

// The multiplier with the greatest bound, to one step of cost.
[[nodiscard]] Dual lagrangian_bound(const Grid& grid);

// Relaxations at multipliers below and above the dual's: what a plan that has charged more or less than the
// dual expects must still pay.
struct Flanks {
    std::vector<Relaxation> below;
    std::vector<Relaxation> above;
};
// Only multipliers whose bound holds for every energy a plan may end with: not negative where the target is
// the need, not positive where it is the limit.
[[nodiscard]] Flanks flanks(const Grid& grid, const Dual& dual);

}  // namespace lullwatt::plan
