#include "core/tariff/left_out.hpp"

#include <algorithm>
#include <cassert>

#include "core/tariff/stretches.hpp"

namespace lullwatt::tariff {
namespace {

// Steps of one price are no steps.
bool depends_on_use(const BlockCharge& block) {
    return std::ranges::any_of(
        block.steps, [&](const BlockCharge::Step& step) { return step.rate != block.steps.front().rate; });
}

// A stated figure is billed whatever is drawn.
bool measured(const DemandCharge& demand) {
    return demand.measure == DemandCharge::Measure::highest ||
           demand.measure == DemandCharge::Measure::mean_of_daily;
}

bool in_force(const DemandCharge& demand, const Stretch& stretch) {
    return demand.seasons.empty() ||
           (stretch.season && std::ranges::find(demand.seasons, *stretch.season) != demand.seasons.end());
}

}  // namespace

LeftOut left_out(const Tariff& tariff, const Zone& clock, Interval span) {
    const auto found = stretches(tariff, clock, span);
    assert(std::holds_alternative<Stretches>(found));
    LeftOut left;
    for (const Stretch& stretch : std::get<Stretches>(found)) {
        const Revision& revision = tariff.revisions[stretch.revision];
        for (const BlockCharge& block : revision.blocks)
            left.blocks |= depends_on_use(block) && applies(block, stretch);
        for (const DemandCharge& demand : revision.demand)
            left.demand |= measured(demand) && in_force(demand, stretch);
    }
    return left;
}

}  // namespace lullwatt::tariff
