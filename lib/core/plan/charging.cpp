#include "core/plan/charging.hpp"

#include <algorithm>

namespace lullwatt::plan {

bool takes_what_it_is_offered(const Problem& problem) {
    return problem.overhead == Watts(0) && problem.taper.empty() && problem.wakes;
}

Wide net_of(const Problem& problem, const Slot& slot, WholeAmps amps) {
    return Wide{minutes(slot)} *
           (amps.count() * thirds_per_ampere_minute(problem) - thirds_of_overhead(problem));
}

std::optional<WholeAmps> accepted(const Problem& problem, const Slot& slot, Wide net) {
    const Wide held = net - thirds(slot.driven);
    const auto beyond =
        std::ranges::find_if(problem.taper, [&](const TaperStep& step) { return thirds(step.from) > held; });
    if (beyond == problem.taper.begin()) return std::nullopt;
    return (beyond - 1)->most;
}

Intake intake(const Problem& problem, const Slot& slot, WholeAmps offered, Wide net) {
    if (offered == WholeAmps(0)) return {};
    const Wide lost = Wide{minutes(slot)} * thirds_of_overhead(problem);
    if (problem.taper.empty()) {
        const Wide all = net_of(problem, slot, offered);
        return {offered, all, all + lost};
    }
    const Wide grain = Wide{minutes(slot)} * thirds_of_a_minute(problem);
    WholeAmps current = std::min(offered, accepted(problem, slot, net).value_or(offered));
    Intake taken{.amps = current};
    for (const TaperStep& step : problem.taper) {
        const Wide from = thirds(step.from) + thirds(slot.driven);
        if (from <= net || step.most >= current) continue;
        const Wide room = ceiling_quotient(from - net, grain) * grain;
        if (net_of(problem, slot, current) <= room) break;
        taken.net = std::max(taken.net, room);
        current = step.most;
    }
    taken.net = std::max(taken.net, net_of(problem, slot, current));
    if (taken.net <= 0) return {};
    taken.energy = taken.net + lost;
    return taken;
}

Intake planned_intake(const Problem& problem, const Slot& slot, WholeAmps offered, Wide net) {
    Intake taken = intake(problem, slot, offered, net);
    const Wide missing = std::max<Wide>(thirds(problem.need) - net, 0);
    if (problem.manner == Manner::driven || taken.net <= missing) return taken;
    taken.energy = ceiling_quotient(taken.energy * missing, taken.net);
    taken.net = missing;
    return taken;
}

}  // namespace lullwatt::plan
