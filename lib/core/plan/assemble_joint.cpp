#include "core/plan/assemble_joint.hpp"

#include <algorithm>
#include <iterator>

#include "core/plan/shared_rows.hpp"

namespace lullwatt::plan {
namespace {

std::vector<Interval> common_slots(const std::vector<Problem>& alone, const std::vector<Taken>& taken) {
    std::vector<Instant> marks;
    for (const Problem& problem : alone) {
        for (const Slot& slot : problem.slots) {
            marks.push_back(slot.when.begin);
            marks.push_back(slot.when.end);
        }
    }
    std::vector<Instant> steps;  // a draw splits slots, and makes none where no car is
    for (const Taken& one : taken) {
        for (const Taken::Draw& draw : one.draws) {
            steps.push_back(draw.when.begin);
            steps.push_back(draw.when.end);
        }
    }
    const auto within = [&](Instant at) {
        return std::ranges::any_of(alone, [&](const Problem& problem) {
            return !problem.slots.empty() && problem.slots.front().when.begin < at &&
                   at < problem.slots.back().when.end;
        });
    };
    std::ranges::copy_if(steps, std::back_inserter(marks), within);
    std::ranges::sort(marks);
    marks.erase(std::unique(marks.begin(), marks.end()), marks.end());
    std::vector<Interval> slots;
    for (std::size_t i = 0; i + 1 < marks.size(); ++i) slots.push_back({marks[i], marks[i + 1]});
    return slots;
}

JointCar car_of(const Problem& alone, const std::string& name, const std::vector<Interval>& slots) {
    JointCar car{.name = name,
                 .slots = {},
                 .per_ampere = alone.per_ampere,
                 .least = alone.least,
                 .missing = alone.missing,
                 .need = alone.need,
                 .floor = alone.floor,
                 .start_cost = alone.start_cost,
                 .preference = alone.preference,
                 .manner = alone.manner,
                 .overhead = alone.overhead,
                 .taper = alone.taper,
                 .wakes = alone.wakes,
                 .price_cap = alone.price_cap};
    std::size_t own = 0;
    for (const Interval& when : slots) {
        while (own < alone.slots.size() && alone.slots[own].when.end <= when.begin) ++own;
        if (own < alone.slots.size() && alone.slots[own].when.begin <= when.begin) {
            const Slot& slot = alone.slots[own];
            car.slots.push_back({slot.price, slot.most, slot.bound, slot.driven});
        } else {
            car.slots.push_back({.price = {}, .most = {}, .bound = {BoundKind::away}});
        }
    }
    return car;
}

}  // namespace

JointProblem assemble_joint(const site::Site& site, const std::vector<Wanted>& wanted,
                            const site::SiteLoads& site_loads, const site::Unattended& unattended,
                            const Zone& zone, const std::vector<Taken>& taken,
                            const std::optional<site::Relief>& relief) {
    site::Unattended others = unattended;
    for (const Wanted& one : wanted) others[one.point] = WholeAmps(0);
    for (const Taken& one : taken) others[one.point] = WholeAmps(0);
    std::vector<Problem> alone;
    for (const Wanted& one : wanted) {
        site::Unattended beside = others;
        beside[one.point] = unattended[one.point];
        alone.push_back(assemble(site, one.point, one.car, site_loads, beside, *one.prices, zone, one.request,
                                 one.hold, relief));
    }
    JointProblem problem;
    problem.slots = common_slots(alone, taken);
    for (std::size_t i = 0; i < wanted.size(); ++i)
        problem.cars.push_back(car_of(alone[i], wanted[i].car.name, problem.slots));

    problem.rows = shared_rows({site, wanted, site_loads, unattended, zone, taken, relief}, problem);
    return problem;
}

}  // namespace lullwatt::plan
