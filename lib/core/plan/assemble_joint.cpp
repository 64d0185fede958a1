#include "core/plan/assemble_joint.hpp"

#include <algorithm>

namespace lullwatt::plan {
namespace {

bool loads(const site::Site& site, const site::Point& point, std::size_t node, site::Leg leg) {
    const auto nodes = site::path(site, point);
    return point.legs.has(leg) && std::ranges::find(nodes, node) != nodes.end();
}

std::vector<Interval> common_slots(const std::vector<Problem>& alone) {
    std::vector<Instant> marks;
    for (const Problem& problem : alone) {
        for (const Slot& slot : problem.slots) {
            marks.push_back(slot.when.begin);
            marks.push_back(slot.when.end);
        }
    }
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
                 .need = alone.need,
                 .floor = alone.floor,
                 .start_cost = alone.start_cost,
                 .preference = alone.preference};
    std::size_t own = 0;
    for (const Interval& when : slots) {
        while (own < alone.slots.size() && alone.slots[own].when.end <= when.begin) ++own;
        if (own < alone.slots.size() && alone.slots[own].when.begin <= when.begin) {
            const Slot& slot = alone.slots[own];
            car.slots.push_back({slot.price, slot.most, slot.bound});
        } else {
            car.slots.push_back({});  // away
        }
    }
    return car;
}

}  // namespace

JointProblem assemble_joint(const site::Site& site, const std::vector<Wanted>& wanted,
                            const site::SiteLoads& site_loads, const site::Unattended& unattended,
                            const Zone& zone) {
    site::Unattended others = unattended;
    for (const Wanted& one : wanted) others[one.point] = WholeAmps(0);
    std::vector<Problem> alone;
    for (const Wanted& one : wanted) {
        site::Unattended beside = others;
        beside[one.point] = unattended[one.point];
        alone.push_back(
            assemble(site, one.point, one.car, site_loads, beside, *one.prices, zone, one.request, one.hold));
    }
    JointProblem problem;
    problem.slots = common_slots(alone);
    for (std::size_t i = 0; i < wanted.size(); ++i)
        problem.cars.push_back(car_of(alone[i], wanted[i].car.name, problem.slots));

    for (std::size_t node = 0; node < site.nodes.size(); ++node) {
        for (const site::Leg leg : site::kLegs) {
            SharedRow headroom{.node = static_cast<int>(node), .leg = static_cast<int>(leg)};
            WholeAmps standing;
            for (std::size_t i = 0; i < wanted.size(); ++i) {
                if (!loads(site, site.points[wanted[i].point], node, leg)) continue;
                headroom.cars.push_back(i);
                standing = standing + unattended[wanted[i].point];
            }
            if (headroom.cars.size() < 2) continue;
            Amps unwanted{0};
            for (std::size_t p = 0; p < site.points.size(); ++p) {
                if (loads(site, site.points[p], node, leg)) unwanted += others[p];
            }
            SharedRow lease = headroom;
            lease.kind = BoundKind::lease;
            for (std::size_t t = 0; t < problem.slots.size(); ++t) {
                const Interval when = problem.slots[t];
                const bool used = std::ranges::any_of(headroom.cars, [&](std::size_t car) {
                    return problem.cars[car].slots[t].most > WholeAmps(0);
                });
                if (!used) {  // no forecast need cover it
                    headroom.capacity.emplace_back();
                    lease.capacity.emplace_back();
                    continue;
                }
                const Amps expected = site::greatest_forecast(site_loads[node], leg, when);
                const Amps worst = site::worst_within(site_loads[node].worst, leg,
                                                      {when.begin, when.end + site.lease}, zone);
                headroom.capacity.push_back(
                    floor_amps(site::continuous_limit(site.nodes[node]) - unwanted - expected));
                lease.capacity.push_back(
                    std::max(floor_amps(site.nodes[node].rating - unwanted - worst), standing));
            }
            problem.rows.push_back(std::move(headroom));
            problem.rows.push_back(std::move(lease));
        }
    }
    return problem;
}

}  // namespace lullwatt::plan
