// The smallest cable that suits a point: by current, surroundings and voltage drop together.
//
// Pure functions over plain values; call from any thread.
#pragma once

#include <optional>
#include <vector>

#include "core/circuit/metric_cable.hpp"
#include "core/circuit/metric_voltage_drop.hpp"

namespace lullwatt::circuit {

struct RunCase {
    CableCase cable;          // without an entered capacity, which belongs to one size
    MetricSupply supply;      // of this circuit; its phases are the cable's
    Metres length;            // one way
    Percent drop_allowed{5};  // of this cable; drop_limit less what is dropped before it
};

struct SizeJudgement {
    CableJudgement cable;
    std::optional<DropPerMetre> per_metre;
    std::optional<MetricDrop> drop;  // at the design current, hot conductors; empty: no table
    bool drop_met = false;

    [[nodiscard]] bool suits() const { return cable.suits() && drop_met; }
};

// Drop by the tables of BS 7671 for either standard. REQUIRES: as judge_cable and drop_over; a cable and a
// supply of the same phases.
[[nodiscard]] SizeJudgement judge_run(const RunCase& run, SquareMillimetres size);

// Every size of kCableSizes in turn, so that it can be seen why the smaller ones will not do.
struct SizeSearch {
    std::vector<SizeJudgement> tried;
    std::optional<SquareMillimetres> smallest;  // empty: none of them suits
};
[[nodiscard]] SizeSearch smallest_cable(const RunCase& run);

}  // namespace lullwatt::circuit
