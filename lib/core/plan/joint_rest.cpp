#include "core/plan/joint_rest.hpp"

#include <algorithm>
#include <utility>

#include "core/plan/exact.hpp"

namespace lullwatt::plan {
namespace {

// Whether a step of the taper is within reach: no plan charges as much as the need and one slot's least.
bool tapers(const JointProblem& problem, const JointCar& car) {
    WholeAmps most;
    std::int64_t longest = 0;
    for (std::size_t t = 0; t < car.slots.size(); ++t) {
        most = std::max(most, car.slots[t].most);
        longest = std::max<std::int64_t>(longest, problem.slots[t].length().count() / 60);
    }
    const Problem unit{.per_ampere = car.per_ampere};
    const Wide within =
        thirds(car.need) + Wide{car.least.count() + 1} * longest * thirds_per_ampere_minute(unit);
    return std::ranges::any_of(
        car.taper, [&](const TaperStep& step) { return thirds(step.from) < within && step.most < most; });
}

bool has_dear_slot(const JointCar& car) {
    return car.price_cap && std::ranges::any_of(car.slots, [&](const CarSlot& slot) {
               return slot.most >= car.least && slot.price > *car.price_cap;
           });
}

}  // namespace

std::optional<Apart> what_sets_apart(const JointProblem& problem, std::size_t car) {
    const JointCar& one = problem.cars[car];
    if (one.need <= MilliwattHours{}) return std::nullopt;
    if (one.manner == Manner::one_block) return Apart::by_hand;
    if (tapers(problem, one)) return Apart::taper;
    if (one.overhead > Watts(0)) return Apart::overhead;
    if (!one.wakes) return Apart::does_not_wake;
    if (has_dear_slot(one)) return Apart::price_cap;
    return std::nullopt;
}

Problem rest_of(const JointProblem& problem, const JointAmps& amps, std::size_t index) {
    const JointCar& car = problem.cars[index];
    Problem out{.per_ampere = car.per_ampere,
                .least = car.least,
                .missing = car.missing,
                .need = car.need,
                .floor = std::min(car.floor, car.need),
                .start_cost = car.start_cost,
                .preference = car.preference,
                .manner = car.manner,
                .overhead = car.overhead,
                .wakes = car.wakes,
                .floor_first = car.floor_first};
    if (tapers(problem, car)) out.taper = car.taper;
    if (has_dear_slot(car)) out.price_cap = car.price_cap;
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const CarSlot& slot = car.slots[t];
        out.slots.push_back({problem.slots[t], slot.price, slot.most, slot.bound, slot.driven});
        for (const SharedRow& row : problem.rows) {
            if (std::ranges::find(row.cars, index) == row.cars.end()) continue;
            WholeAmps left = std::max(row.capacity[t], WholeAmps(0));
            for (const std::size_t other : row.cars) {
                if (other != index) left = left - WholeAmps(amps[other][t]);
            }
            if (left < out.slots.back().most) {
                out.slots.back().most = left;
                out.slots.back().bound = {row.kind, row.node, row.leg};
            }
        }
    }
    return settable(std::move(out));
}

JointProblem part_of(const JointProblem& problem, const std::vector<std::size_t>& cars,
                     const JointAmps& amps) {
    JointProblem part;
    part.slots = problem.slots;
    for (const std::size_t car : cars) part.cars.push_back(problem.cars[car]);
    for (const SharedRow& row : problem.rows) {
        SharedRow left = row;
        left.cars.clear();
        for (const std::size_t car : row.cars) {
            const auto at = std::ranges::find(cars, car);
            if (at != cars.end()) {
                left.cars.push_back(static_cast<std::size_t>(at - cars.begin()));
                continue;
            }
            for (std::size_t t = 0; t < part.slots.size(); ++t)
                left.capacity[t] = left.capacity[t] - WholeAmps(amps[car][t]);
        }
        if (!left.cars.empty()) part.rows.push_back(std::move(left));
    }
    return part;
}

}  // namespace lullwatt::plan
