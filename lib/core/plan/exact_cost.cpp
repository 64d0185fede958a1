#include "core/plan/exact_cost.hpp"

#include <cmath>

#include "core/quantity/wide.hpp"

namespace lullwatt::plan {

ExactAmount cost_of(const Problem& problem, const Slot& slot, WholeAmps amps) {
    // W·s × pico per kWh: 3.6e6 W·s are a kilowatt-hour, and 1e-12 of the currency are 1e6 of 1e-18.
    const Wide joules = static_cast<Wide>(std::llround(problem.per_ampere.count())) * amps.count() *
                        slot.when.length().count();
    return ExactAmount(nearest_quotient(joules * slot.price.count() * 1'000'000, 3'600'000));
}

ExactAmount cost_of(const Problem& problem, const Plan& plan, std::size_t index) {
    const WholeAmps amps = plan.slots[index].drawn;
    const bool ends = index + 1 == plan.slots.size() || plan.slots[index + 1].amps == WholeAmps(0);
    if (problem.manner != Manner::one_block || amps == WholeAmps(0) || !ends) {
        return cost_of(problem, problem.slots[index], amps);
    }
    ExactAmount rest = plan.energy_cost;
    for (std::size_t t = 0; t < index; ++t)
        rest = rest - cost_of(problem, problem.slots[t], plan.slots[t].drawn);
    return rest;
}

}  // namespace lullwatt::plan
