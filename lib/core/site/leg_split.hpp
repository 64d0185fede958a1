// From energy or power to current per leg, with a cautious share where a meter tells only the total.
//
// Values only; safe to use from any thread.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/site/history.hpp"
#include "core/site/site.hpp"

namespace lullwatt::site {

// What turns a node's readings into amperes.
struct LegSplit {
    Legs legs;  // of the node; not empty
    Volts leg_to_neutral;
    // Of a total, the part each leg is taken to carry: every leg is planned as if it were the worst one, so
    // the parts add up to more than the total. A supply of one leg carries all of it. 0.65 is ours.
    double worst_leg_share = 0.65;
};

// Every leg's current for a total of `power`; a negative total counts as 0, for export is never relief.
[[nodiscard]] LegAmps leg_amps(Watts power, const LegSplit& split);

// The mean current over a row, per leg of the node. `told` is MeterHistory::legs. Negative energy counts as
// 0. REQUIRES: `told` is empty or holds every leg of the node.
[[nodiscard]] LegAmps mean_amps(const HistoryRow& row, Legs told, const LegSplit& split);

}  // namespace lullwatt::site
