#include "core/plan/shared_rows.hpp"

#include <algorithm>
#include <utility>

#include "core/site/unbalance.hpp"

namespace lullwatt::plan {
namespace {

bool loads(const site::Site& site, const site::Point& point, std::size_t node, site::Leg leg) {
    const auto nodes = site::path(site, point);
    return point.legs.has(leg) && std::ranges::find(nodes, node) != nodes.end();
}

class Rows {
  public:
    explicit Rows(const SharedRowsFrom& from)
        : site_(from.site),
          wanted_(from.wanted),
          loads_(from.loads),
          unattended_(from.unattended),
          zone_(from.zone),
          taken_(from.taken),
          relief_(from.relief) {}

    [[nodiscard]] std::vector<SharedRow> all(const JointProblem& problem);

  private:
    void add(std::size_t node, site::Leg leg, const JointProblem& problem);
    // What several wanted cars may take together of a leg's unbalance limit.
    void add_unbalance(std::size_t node, site::Leg leg, const JointProblem& problem);
    // What they may take together of the power a node is granted. A row knows no weights: each counts with
    // the most legs that any of them has, which is enough and, where they differ, more than needed.
    void add_granted(std::size_t node, const JointProblem& problem);
    struct Beside {
        Amps unplanned;  // points that are neither wanted nor taken, without word
        Amps by_hand;    // what nothing lowers of points planned that are set by hand
        Amps drawn;      // by points taken
        WholeAmps driven_drawn;
    };
    [[nodiscard]] bool planned(std::size_t point) const {
        return std::ranges::find(wanted_, point, &Wanted::point) != wanted_.end() ||
               std::ranges::find(taken_, point, &Taken::point) != taken_.end();
    }
    [[nodiscard]] bool set_by_hand(std::size_t point) const {
        return site_.points[point].control == site::Control::by_hand;
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
    std::vector<SharedRow> rows_;
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
    for (const Wanted& one : wanted_) {
        if (on(site_.points[one.point]) && set_by_hand(one.point)) sum.by_hand += unattended_[one.point];
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
        if (set_by_hand(one.point)) {
            sum.by_hand += unattended_[one.point];
        } else {
            sum.driven_drawn = sum.driven_drawn + greatest;
        }
    }
    return sum;
}

void Rows::add(std::size_t node, site::Leg leg, const JointProblem& problem) {
    SharedRow headroom{.node = static_cast<int>(node), .leg = static_cast<int>(leg)};
    std::vector<std::size_t> driven;
    WholeAmps standing;
    std::size_t on = 0;
    for (std::size_t i = 0; i < wanted_.size(); ++i) {
        if (!loads(site_, site_.points[wanted_[i].point], node, leg)) continue;
        headroom.cars.push_back(i);
        ++on;
        if (set_by_hand(wanted_[i].point)) continue;
        driven.push_back(i);
        standing = standing + unattended_[wanted_[i].point];
    }
    for (const Taken& one : taken_) {
        if (!loads(site_, site_.points[one.point], node, leg)) continue;
        if (!set_by_hand(one.point)) standing = standing + unattended_[one.point];
        ++on;
    }
    if (headroom.cars.empty() || on < 2) return;
    SharedRow lease = headroom;
    SharedRow outside = headroom;
    lease.cars = std::move(driven);
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
    rows_.push_back(std::move(headroom));
    if (!lease.cars.empty()) rows_.push_back(std::move(lease));
    if (!ceilings.empty()) rows_.push_back(std::move(outside));
}

void Rows::add_unbalance(std::size_t node, site::Leg leg, const JointProblem& problem) {
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
    rows_.push_back(std::move(row));
}

void Rows::add_granted(std::size_t node, const JointProblem& problem) {
    const auto& granted = site_.nodes[node].granted;
    if (!granted) return;
    SharedRow row{.node = static_cast<int>(node), .leg = -1, .kind = BoundKind::granted};
    int most_legs = 1;
    std::size_t on = 0;
    const auto here = [&](const site::Point& point) {
        const auto nodes = site::path(site_, point);
        return std::ranges::find(nodes, node) != nodes.end();
    };
    for (std::size_t i = 0; i < wanted_.size(); ++i) {
        const site::Point& point = site_.points[wanted_[i].point];
        if (!here(point)) continue;
        row.cars.push_back(i);
        most_legs = std::max(most_legs, static_cast<int>(point.legs.count()));
        ++on;
    }
    for (const Taken& one : taken_) on += here(site_.points[one.point]) ? 1U : 0U;
    if (row.cars.empty() || on < 2) return;
    const Amps all(granted->most.count() / site_.leg_to_neutral.count());  // all legs together
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const Interval when = problem.slots[t];
        if (!used(problem, row, t)) {  // no forecast need cover it
            row.capacity.emplace_back();
            continue;
        }
        Amps taken;
        for (const site::Leg leg : site::kLegs) {
            if (!site_.nodes[node].legs.has(leg)) continue;
            const Beside others =
                beside([&](const site::Point& point) { return loads(site_, point, node, leg); }, when);
            taken += others.unplanned + others.drawn +
                     Amps(site::greatest_forecast(loads_[node], leg, when).count() / granted->power_factor);
        }
        row.capacity.push_back(floor_amps(Amps((all - taken).count() / most_legs) + more_at(node)));
    }
    rows_.push_back(std::move(row));
}

std::vector<SharedRow> Rows::all(const JointProblem& problem) {
    for (std::size_t node = 0; node < site_.nodes.size(); ++node) {
        for (const site::Leg leg : site::kLegs) {
            add(node, leg, problem);
            add_unbalance(node, leg, problem);
        }
        add_granted(node, problem);
    }
    return std::move(rows_);
}

}  // namespace

std::vector<SharedRow> shared_rows(const SharedRowsFrom& from, const JointProblem& problem) {
    return Rows(from).all(problem);
}

}  // namespace lullwatt::plan
