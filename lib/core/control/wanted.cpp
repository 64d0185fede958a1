#include "core/control/wanted.hpp"

#include <algorithm>

namespace lullwatt::control {
namespace {

Wanted because(Bind bind, WholeAmps amps, std::optional<BootTime> until = std::nullopt) {
    return {amps, {.bind = bind, .most = amps, .until = until}, until};
}

BootTime by_boot(Instant at, const Now& now) { return now.boot + (at - *now.wall); }

Wanted by_plan(const PointPlan& plan, WholeAmps standing, const Now& now) {
    const auto& pieces = plan.pieces;
    auto piece = std::ranges::find_if(pieces, [&](const auto& p) { return *now.wall < p.when.end; });
    if (piece == pieces.end()) return because(Bind::past_plan, standing);
    if (piece->when.begin > *now.wall)
        return because(Bind::waiting, WholeAmps(0), by_boot(piece->when.begin, now));
    if (piece->amps > WholeAmps(0)) return because(Bind::plan, piece->amps, by_boot(piece->when.end, now));
    // The whole pause is one wait: one write.
    const auto next = std::find_if(piece, pieces.end(), [](const auto& p) { return p.amps > WholeAmps(0); });
    const Instant until = next != pieces.end() ? next->when.begin : pieces.back().when.end;
    return because(Bind::waiting, WholeAmps(0), by_boot(until, now));
}

}  // namespace

Wanted wanted(const WantedInput& input, const Now& now, const LimiterOptions& options) {
    if (input.hold) {
        const auto& until = input.hold->until;
        if (!until || !now.wall) return because(Bind::hold, WholeAmps(0));
        if (*now.wall < *until) return because(Bind::hold, WholeAmps(0), by_boot(*until, now));
    }
    if (input.waits_until && now.boot < *input.waits_until)
        return because(Bind::interruption, WholeAmps(0), input.waits_until);
    if (!input.reported) return because(Bind::unheard, input.standing);
    if (!now.wall) {
        switch (input.unproven) {
            case WhenUnproven::wait:
                return because(Bind::clock_unproven, WholeAmps(0));
            case WhenUnproven::standing:
                return because(Bind::clock_unproven, input.standing);
            case WhenUnproven::charge:
                return because(Bind::clock_unproven, input.most);
        }
    }
    if (!input.plan) {
        const BootTime patience = input.start + options.first_plan;
        if (now.boot < patience) return because(Bind::no_plan_yet, input.offered, patience);
        return because(Bind::past_plan, input.standing);
    }
    return by_plan(*input.plan, input.standing, now);
}

}  // namespace lullwatt::control
