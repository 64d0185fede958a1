#include "core/plan/charging.hpp"

#include <algorithm>

namespace lullwatt::plan {

bool takes_what_it_is_offered(const Problem& problem) {
    return problem.overhead == Watts(0) && problem.taper.empty() && problem.wakes;
}

std::optional<WholeAmps> accepted(const Problem& problem, const Slot& slot, Wide net) {
    const Wide held = net - thirds(slot.driven);
    const auto beyond =
        std::ranges::find_if(problem.taper, [&](const TaperStep& step) { return thirds(step.from) > held; });
    if (beyond == problem.taper.begin()) return std::nullopt;
    return (beyond - 1)->most;
}

WholeAmps drawn(const Problem& problem, const Slot& slot, WholeAmps offered, Wide net) {
    if (problem.taper.empty()) return offered;
    const WholeAmps taken = std::min(offered, accepted(problem, slot, net).value_or(offered));
    return net_of(problem, slot, taken) > 0 ? taken : WholeAmps(0);
}

Wide net_of(const Problem& problem, const Slot& slot, WholeAmps amps) {
    return Wide{minutes(slot)} *
           (amps.count() * thirds_per_ampere_minute(problem) - thirds_of_overhead(problem));
}

}  // namespace lullwatt::plan
