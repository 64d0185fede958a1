#include "core/plan/assemble_joint.hpp"

#include <algorithm>
#include <iterator>

#include "core/site/unbalance.hpp"

namespace lullwatt::plan {
namespace {

bool loads(const site::Site& site, const site::Point& point, std::size_t node, site::Leg leg) {
    const auto nodes = site::path(site, point);
    return point.legs.has(leg) && std::ranges::find(nodes, node) != nodes.end();
}

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

// Everything a row of headroom and a row of leases are made of.
class Rows {
  public:
    Rows(const site::Site& site, const std::vector<Wanted>& wanted, const site::SiteLoads& site_loads,
         const site::Unattended& unattended, const Zone& zone, const std::vector<Taken>& taken,
         const std::optional<site::Relief>& relief)
        : site_(site),
          wanted_(wanted),
          loads_(site_loads),
          unattended_(unattended),
          zone_(zone),
          taken_(taken),
          relief_(relief) {}

    void add(std::size_t node, site::Leg leg, JointProblem& problem) const;
    // What several wanted cars may take together of a leg's unbalance limit.
    void add_unbalance(std::size_t node, site::Leg leg, JointProblem& problem) const;

  private:
    struct Beside {
        Amps unplanned;  // points that are neither wanted nor taken, without word
        Amps by_hand;    // what nothing lowers of points taken that are set by hand
        Amps drawn;      // by points taken
        WholeAmps driven_drawn;
    };
    [[nodiscard]] bool planned(std::size_t point) const {
        return std::ranges::find(wanted_, point, &Wanted::point) != wanted_.end() ||
               std::ranges::find(taken_, point, &Taken::point) != taken_.end();
    }
    template <class Loads>
    [[nodiscard]] Beside beside(const Loads& on, Interval when) const;

    [[nodiscard]] Amps more_at(std::size_t node) const {
        return relief_ && relief_->node == node ? relief_->by : Amps(0);
    }

    const site::Site& site_;
    const std::vector<Wanted>& wanted_;
    const site::SiteLoads& loads_;
    const site::Unattended& unattended_;
    const Zone& zone_;
    const std::vector<Taken>& taken_;
    const std::optional<site::Relief>& relief_;
};

bool used(const JointProblem& problem, const SharedRow& row, std::size_t slot) {
    return std::ranges::any_of(
        row.cars, [&](std::size_t car) { return problem.cars[car].slots[slot].most > WholeAmps(0); });
}

// Of the points for which `on` holds.
template <class Loads>
Rows::Beside Rows::beside(const Loads& on, Interval when) const {
    Beside sum{};
    for (std::size_t p = 0; p < site_.points.size(); ++p) {
        if (on(site_.points[p]) && !planned(p)) sum.unplanned += unattended_[p];
    }
    for (const Taken& one : taken_) {
        const site::Point& point = site_.points[one.point];
        if (!on(point)) continue;
        WholeAmps greatest;
        for (const Taken::Draw& draw : one.draws) {
            if (draw.when.begin < when.end && when.begin < draw.when.end)
                greatest = std::max(greatest, draw.amps);
        }
        sum.drawn += greatest;
        if (point.control == site::Control::by_hand) {
            sum.by_hand += unattended_[one.point];
        } else {
            sum.driven_drawn = sum.driven_drawn + greatest;
        }
    }
    return sum;
}

void Rows::add(std::size_t node, site::Leg leg, JointProblem& problem) const {
    SharedRow headroom{.node = static_cast<int>(node), .leg = static_cast<int>(leg)};
    WholeAmps standing;
    std::size_t on = 0;
    for (std::size_t i = 0; i < wanted_.size(); ++i) {
        if (!loads(site_, site_.points[wanted_[i].point], node, leg)) continue;
        headroom.cars.push_back(i);
        standing = standing + unattended_[wanted_[i].point];
        ++on;
    }
    for (const Taken& one : taken_) {
        if (!loads(site_, site_.points[one.point], node, leg)) continue;
        if (site_.points[one.point].control == site::Control::driven)
            standing = standing + unattended_[one.point];
        ++on;
    }
    if (headroom.cars.empty() || on < 2) return;
    SharedRow lease = headroom;
    SharedRow outside = headroom;
    const Amps more = more_at(node);
    const site::TimedCeilings& ceilings = site_.nodes[node].ceilings;
    lease.kind = BoundKind::lease;
    outside.kind = BoundKind::ceiling;
    const auto here = [&](const site::Point& point) { return loads(site_, point, node, leg); };
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const Interval when = problem.slots[t];
        if (!used(problem, headroom, t)) {  // no forecast need cover it
            for (SharedRow* row : {&headroom, &lease, &outside}) row->capacity.emplace_back();
            continue;
        }
        const Beside others = beside(here, when);
        const Amps expected = site::greatest_forecast(loads_[node], leg, when);
        const Amps worst =
            site::worst_within(loads_[node].worst, leg, {when.begin, when.end + site_.lease}, zone_);
        const auto left = [&](Amps limit) {
            return floor_amps(limit + more - others.unplanned - others.drawn - expected);
        };
        const Amps limit = site::continuous_limit(site_.nodes[node]);
        headroom.capacity.push_back(left(limit));
        outside.capacity.push_back(left(site::least_within(ceilings, when, zone_).value_or(limit)));
        const WholeAmps carried =
            floor_amps(site_.nodes[node].rating + more - others.unplanned - others.by_hand - worst);
        lease.capacity.push_back(std::max(carried, standing) - others.driven_drawn);
    }
    problem.rows.push_back(std::move(headroom));
    problem.rows.push_back(std::move(lease));
    if (!ceilings.empty()) problem.rows.push_back(std::move(outside));
}

void Rows::add_unbalance(std::size_t node, site::Leg leg, JointProblem& problem) const {
    const auto limit = site_.nodes[node].unbalance;
    if (!limit) return;
    const auto here = [&](const site::Point& point) { return site::uneven_on(site_, point, node, leg); };
    SharedRow row{.node = static_cast<int>(node), .leg = static_cast<int>(leg), .kind = BoundKind::unbalance};
    for (std::size_t i = 0; i < wanted_.size(); ++i) {
        if (here(site_.points[wanted_[i].point])) row.cars.push_back(i);
    }
    const auto taken =
        std::ranges::count_if(taken_, [&](const Taken& one) { return here(site_.points[one.point]); });
    if (row.cars.empty() || row.cars.size() + static_cast<std::size_t>(taken) < 2) return;
    for (const Interval& when : problem.slots) {
        const Beside others = beside(here, when);
        row.capacity.push_back(floor_amps(*limit + more_at(node) - others.unplanned - others.drawn));
    }
    problem.rows.push_back(std::move(row));
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

    const Rows rows(site, wanted, site_loads, unattended, zone, taken, relief);
    for (std::size_t node = 0; node < site.nodes.size(); ++node) {
        for (const site::Leg leg : site::kLegs) {
            rows.add(node, leg, problem);
            rows.add_unbalance(node, leg, problem);
        }
    }
    return problem;
}

}  // namespace lullwatt::plan
