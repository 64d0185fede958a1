#include "core/rehearse/world.hpp"

#include <algorithm>

namespace lullwatt::rehearse {
namespace {

constexpr Amps kRise{0.5};  // less is no step of the house

}  // namespace

World::World(WorldSetup setup) : setup_(std::move(setup)) {
    const site::Site& site = setup_.settings.site;
    setup_.loads.resize(site.nodes.size());
    for (const site::Node& node : site.nodes) {
        nodes_.emplace_back();
        for (std::size_t leg = 0; leg < site::kLegs.size(); ++leg) {
            nodes_.back().limit.emplace_back(site::continuous_limit(node));
            nodes_.back().rating.emplace_back(node.rating);
        }
    }
    for (std::size_t p = 0; p < setup_.points.size(); ++p) {
        const PointSetup& point = setup_.points[p];
        points_.push_back({Equipment(point.equipment, point.car), site::path(site, site.points[p])});
        points_.back().was_silent = true;
    }
}

const Fault* World::fault(FaultKind kind, std::size_t point) const {
    const auto found = std::ranges::find_if(setup_.faults, [&](const Fault& f) {
        return f.kind == kind && f.point == point && f.from <= now_ && now_ < f.to;
    });
    return found == setup_.faults.end() ? nullptr : &*found;
}

Now World::clocks() const {
    if (fault(FaultKind::clock_unproven)) return {boot(), std::nullopt};
    Instant wall = setup_.starts + now_;
    for (const Fault& each : setup_.faults) {
        if (each.kind == FaultKind::wall_step && each.from <= now_) wall += each.by;
    }
    return {boot(), wall};
}

void World::step() {
    power();
    measure();
    daemon();
    now_ += Seconds{1};
}

void World::power() {
    for (std::size_t p = 0; p < points_.size(); ++p) {
        PointState& point = points_[p];
        const bool restarts = std::ranges::any_of(setup_.faults, [&](const Fault& f) {
            return f.kind == FaultKind::equipment_restarts && f.point == p && f.from == now_;
        });
        if (restarts || fault(FaultKind::supply_out)) {
            point.equipment.restart(now_);
            point.restarted = true;
        }
        point.equipment.step(now_);
    }
}

void World::measure() {
    const site::Site& site = setup_.settings.site;
    std::vector<site::LegAmps> house(nodes_.size());
    std::vector<site::LegAmps> cars(nodes_.size());
    for (std::size_t n = nodes_.size(); n-- > 0;) {  // children before parents
        if (!fault(FaultKind::supply_out)) {
            const site::LegAmps own = draw(setup_.loads[n], now_);
            for (std::size_t leg = 0; leg < own.size(); ++leg) house[n][leg] += own[leg];
        }
        if (!site.nodes[n].parent) continue;
        for (std::size_t leg = 0; leg < house[n].size(); ++leg)
            house[*site.nodes[n].parent][leg] += house[n][leg];
    }
    for (std::size_t p = 0; p < points_.size(); ++p) {
        for (const std::size_t n : points_[p].path) {
            for (const site::Leg leg : site::kLegs) {
                if (site.points[p].legs.has(leg))
                    cars[n][static_cast<std::size_t>(leg)] += points_[p].equipment.current();
            }
        }
    }
    for (std::size_t n = 0; n < nodes_.size(); ++n) {
        NodeState& node = nodes_[n];
        for (std::size_t leg = 0; leg < house[n].size(); ++leg) {
            const bool rose = house[n][leg] > node.house[leg] + kRise;
            node.house[leg] = house[n][leg];
            node.total[leg] = house[n][leg] + cars[n][leg];
            node.limit[leg].second(now_, cars[n][leg], node.total[leg], rose);
            node.rating[leg].second(now_, cars[n][leg], node.total[leg], rose);
        }
    }
}

void World::daemon() {
    if (fault(FaultKind::daemon_dead)) {
        limiter_.reset();
        for (PointState& point : points_) point.was_silent = true;
        return;
    }
    if (fault(FaultKind::suspended)) return;
    if (!limiter_) {
        limiter_.emplace(setup_.settings, boot(), setup_.seed);
        daemon_since_ = now_;
    }
    if (now_ == daemon_since_ + setup_.plan_after) {
        for (std::size_t p = 0; p < points_.size(); ++p) limiter_->plan(p, setup_.points[p].plan);
    }
    for (std::size_t p = 0; p < points_.size(); ++p) hear_equipment(p);
    hear_meters();
    decision_ = limiter_->decide(clocks());
    obey();
}

void World::hear_equipment(std::size_t p) {
    PointState& point = points_[p];
    const bool cut = fault(FaultKind::link_cut, p) != nullptr;
    if (cut || !point.equipment.answers(now_)) {
        if (!point.cut_since) point.cut_since = now_;
        if (now_ - *point.cut_since == setup_.cut_noticed_after) limiter_->link(p, false);
        point.was_silent = true;
        return;
    }
    const bool anew = point.was_silent;
    point.was_silent = false;
    if (point.restarted && anew) {
        limiter_->rebooted(p, boot());
        point.restarted = false;
    }
    if (anew) limiter_->link(p, true);
    point.cut_since.reset();
    if (const auto report = point.equipment.report(now_, boot(), anew)) limiter_->report(p, *report);
}

void World::hear_meters() {
    if (fault(FaultKind::meter_silent) || fault(FaultKind::supply_out)) return;
    for (std::size_t n = 0; n < nodes_.size(); ++n) {
        const auto& interval = setup_.settings.interval[n];
        if (!interval || (now_ % *interval).count() != 0) continue;
        limiter_->meter({.node = n, .arrived = boot(), .amps = nodes_[n].total});
    }
}

void World::obey() {
    for (std::size_t p = 0; p < points_.size(); ++p) {
        const auto& write = decision_->points[p].write;
        if (!write || fault(FaultKind::link_cut, p)) continue;
        if (points_[p].equipment.write(*write, now_)) limiter_->accepted(p, write->number, boot());
    }
}

const Excess& World::at_limit(std::size_t node, site::Leg leg) const {
    return nodes_[node].limit[static_cast<std::size_t>(leg)];
}

const Excess& World::at_rating(std::size_t node, site::Leg leg) const {
    return nodes_[node].rating[static_cast<std::size_t>(leg)];
}

}  // namespace lullwatt::rehearse
