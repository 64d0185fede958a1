// The best caps on the peaks that a bill charges for: a search over boxes of caps, best bound first, that
// knows of planning only what planning under given caps costs at least.
//
// Pure but for what it is handed; call from any thread.
#pragma once

#include <compare>
#include <cstddef>
#include <functional>
#include <optional>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/quantity/wide.hpp"

namespace lullwatt::plan {

// Plans that bring as much as any, in their order: energy above the price cap, money in thirds of 1e-18, then
// what is compared after money. Peaks are not in it.
struct CapKey {
    Wide above = 0;
    Wide money = 0;
    Wide rest = 0;
    friend auto operator<=>(const CapKey&, const CapKey&) = default;
};

// A peak that may be had: nothing is charged for `from`, and no plan goes above `to`.
struct PeakRange {
    Milliwatts from;
    Milliwatts to;
    std::function<Wide(Milliwatts)> cost;  // money, never falling
};

using Caps = std::vector<Milliwatts>;  // one per range

struct CapCandidate {
    CapKey key;
    Caps peaks;           // that it reaches, whatever caps it was found under
    std::size_t tag = 0;  // the planner's own name for it
};

// What planning under caps found.
struct UnderCaps {
    std::optional<CapKey> least;  // no plan under the caps is below it; empty: there is none
    std::optional<Caps> reached;  // the peaks of a plan under the caps that attains it, where one is known
    std::vector<CapCandidate> plans;
};

// Plans under `caps`. A `least` at or above `enough` is as good as any.
using PlanUnderCaps = std::function<UnderCaps(const Caps& caps, const std::optional<CapKey>& enough)>;

struct CapsFound {
    std::optional<CapCandidate> best;  // its key with what its peaks cost
    CapKey bound;                      // no plan is below it; the best's own where that is proven
    std::size_t tries = 0;
};

// REQUIRES: at least one range, from <= to; `most_tries` above 0.
[[nodiscard]] CapsFound search_caps(const std::vector<PeakRange>& ranges, const PlanUnderCaps& plan,
                                    std::size_t most_tries);

}  // namespace lullwatt::plan
