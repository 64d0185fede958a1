// The best plan under charges for peaks: planning under caps, for search_caps().
//
// Pure functions; call from any thread.
#pragma once

#include <vector>

#include "core/plan/peak.hpp"
#include "core/plan/plan.hpp"

namespace lullwatt::plan {

struct PeakPlan {
    Plan plan;  // objective, energy_cost and bound as of its slots alone
    std::vector<Milliwatts> peaks;
    Wide bound = 0;  // of the slots' cost, the starts and the peaks, in thirds of 1e-18
    bool proven = true;
};

// REQUIRES: problem as problem.hpp asks.
[[nodiscard]] PeakPlan solve_under_peaks(const Problem& problem, const std::vector<PeakCharge>& charges);

// The problem with what each slot may carry beside the rest of the plan without raising a charged peak.
[[nodiscard]] Problem within_peaks(Problem problem, const Plan& plan, const std::vector<PeakCharge>& charges,
                                   const std::vector<Milliwatts>& peaks);

}  // namespace lullwatt::plan
