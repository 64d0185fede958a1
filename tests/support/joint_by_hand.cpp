#include "support/joint_by_hand.hpp"

#include <chrono>
#include <utility>

namespace lullwatt::support {

using namespace plan;

JointProblem quarters(std::size_t count) {
    JointProblem problem;
    Instant at{std::chrono::hours(24 * 365 * 56)};
    for (std::size_t t = 0; t < count; ++t, at += std::chrono::minutes(15))
        problem.slots.push_back({at, at + std::chrono::minutes(15)});
    return problem;
}

JointCar car(const std::string& name, std::initializer_list<int> cents, int most, int need_ampere_quarters) {
    JointCar out;
    out.name = name;
    out.per_ampere = Watts(240);
    out.need = WattHours(60 * need_ampere_quarters);
    for (const int price : cents) out.slots.push_back({Rate(price * 10'000'000'000LL), WholeAmps(most), {}});
    return out;
}

SharedRow row(int amps, std::size_t slots, std::vector<std::size_t> cars) {
    return {.node = 0,
            .leg = 0,
            .capacity = std::vector<WholeAmps>(slots, WholeAmps(amps)),
            .cars = std::move(cars)};
}

std::vector<int> amps(const CarPlan& plan) {
    std::vector<int> out;
    for (const PlannedSlot& slot : plan.slots) out.push_back(slot.amps.count());
    return out;
}

}  // namespace lullwatt::support
