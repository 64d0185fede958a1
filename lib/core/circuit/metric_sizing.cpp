#include "core/circuit/metric_sizing.hpp"

#include <cassert>

namespace lullwatt::circuit {

SizeJudgement judge_run(const RunCase& run, SquareMillimetres size) {
    assert(run.supply.phases == run.cable.kind.phases);
    SizeJudgement judged{.cable = judge_cable(run.cable, size)};
    judged.per_metre = tabulated_drop(insulation(run.cable.kind.table), run.supply.phases, size);
    if (!judged.per_metre) return judged;
    judged.drop = drop_over(*judged.per_metre, run.supply, run.length, run.cable.design_current);
    judged.drop_met = judged.drop->percent.count() <= run.drop_allowed.count() + 1e-9;
    return judged;
}

SizeSearch smallest_cable(const RunCase& run) {
    assert(!run.cable.capacity);
    SizeSearch search;
    for (const SquareMillimetres size : kCableSizes) {
        search.tried.push_back(judge_run(run, size));
        if (!search.smallest && search.tried.back().suits()) search.smallest = size;
    }
    return search;
}

}  // namespace lullwatt::circuit
