#include "core/control/limiter.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>

#include "core/control/interruption.hpp"
#include "core/control/profile.hpp"
#include "core/site/unbalance.hpp"

namespace lullwatt::control {
namespace {

// What is no number would count as no load.
bool is_a_reading(const MeterSample& sample) {
    const auto finite = [](Amps amps) { return std::isfinite(amps.count()); };
    return std::ranges::all_of(sample.amps, finite) && std::ranges::all_of(sample.generation, finite) &&
           finite(sample.resolution);
}

}  // namespace

Limiter::Limiter(LimiterSettings settings, BootTime start, std::uint64_t seed,
                 std::vector<WritesSoFar> writes)
    : settings_(std::move(settings)), start_(start), seed_(seed), ceilings_(settings_.site.nodes.size()) {
    const site::Site& site = settings_.site;
    assert(settings_.worst.size() == site.nodes.size() && settings_.interval.size() == site.nodes.size());
    assert(settings_.unattended.size() == site.points.size());
    const LimiterOptions& options = settings_.options;
    for (const auto& interval : settings_.interval) {
        watches_.emplace_back();
        if (interval && *interval <= options.interval_most)
            watches_.back().emplace(*interval, start, options);
    }
    writes.resize(site.points.size());
    for (std::size_t p = 0; p < site.points.size(); ++p) {
        points_.push_back({.model = CurrentModel(site.points[p].legs, options),
                           .calm = CalmTime(options),
                           .writes = WriteBudget(writes[p], start, options),
                           .path = site::path(site, site.points[p])});
    }
}

void Limiter::meter(const MeterSample& sample) {
    auto& watch = watches_[sample.node];
    if (!watch || !is_a_reading(sample)) return;
    const site::Node& node = settings_.site.nodes[sample.node];
    const Amps coarser = std::max(Amps(0), sample.resolution - node.meter_resolution);
    site::LegAmps measured{};
    site::LegAmps low{};
    site::LegAmps high{};
    for (const site::Leg leg : site::kLegs) {
        const auto place = static_cast<std::size_t>(leg);
        const bool feeding = sample.direction[place] == Direction::feeding;
        const Amps net = feeding ? -sample.amps[place] : sample.amps[place] + coarser;
        measured[place] = std::max(Amps(0), net + sample.generation[place]);
    }
    for (const PointState& point : points_) {
        if (std::ranges::find(point.path, sample.node) == point.path.end()) continue;
        const CarAmps car = point.model.current(sample.arrived);
        for (std::size_t leg = 0; leg < measured.size(); ++leg) {
            low[leg] += car.low[leg];
            high[leg] += car.high[leg];
        }
    }
    watch->sample(sample.arrived, measured, low, high);
}

void Limiter::report(std::size_t point, const PointReport& report) {
    PointState& state = points_[point];
    if (!state.reported) state.link_up = true;
    state.reported = true;
    state.model.report(report, settings_.unattended[point]);
}

void Limiter::plan(std::size_t point, PointPlan plan) { points_[point].plan = std::move(plan); }

void Limiter::link(std::size_t point, bool up) {
    PointState& state = points_[point];
    if (up && !state.link_up) state.write_anew = true;
    state.link_up = up;
}

void Limiter::rebooted(std::size_t point, BootTime at) {
    PointState& state = points_[point];
    state.model.started_over(settings_.unattended[point], at);
    state.write_anew = true;
    state.rebooted = at;
}

void Limiter::accepted(std::size_t point, std::uint64_t number, BootTime at) {
    points_[point].model.accepted(number, at);
}

void Limiter::refused(std::size_t point, std::uint64_t number, BootTime at) {
    const auto amps = points_[point].model.refused(number);
    if (!amps) return;
    points_[point].write_anew = true;
    points_[point].refused = at;
    points_[point].refused_amps = *amps;
}

void Limiter::stalled(BootTime at) {
    for (auto& watch : watches_) {
        if (watch) watch->forget(at);
    }
}

bool Limiter::change(LimiterSettings settings) {
    const auto same_one = [](const auto& a, const auto& b) { return a.name == b.name && a.legs == b.legs; };
    const bool same = std::ranges::equal(settings.site.nodes, settings_.site.nodes, same_one) &&
                      std::ranges::equal(settings.site.points, settings_.site.points, same_one) &&
                      settings.interval == settings_.interval;
    if (!same) return false;
    settings.options = settings_.options;
    settings_ = std::move(settings);
    worst_ = {};
    for (std::size_t p = 0; p < points_.size(); ++p)
        points_[p].path = site::path(settings_.site, settings_.site.points[p]);
    return true;
}

std::optional<site::LegAmps> Limiter::house(std::size_t node) const {
    const auto& watch = watches_[node];
    if (!watch || !watch->heard()) return std::nullopt;
    site::LegAmps amps{};
    for (const site::Leg leg : site::kLegs)
        amps[static_cast<std::size_t>(leg)] = watch->house_for_raising(leg);
    return amps;
}

void Limiter::notice_stall(BootTime now) {
    if (promised_ && now > *promised_ + settings_.options.stall) stalled(now);
}

void Limiter::notice_interruption(std::size_t point, BootTime now) {
    PointState& state = points_[point];
    if (!state.rebooted) return;
    std::optional<HouseWatch::Silence> silence;
    if (watches_[0]) silence = watches_[0]->silence(now);
    if (told_interruption_)
        silence = {*told_interruption_ - settings_.options.interruption, *told_interruption_};
    if (!silence || !supply_was_interrupted(*silence, *state.rebooted, settings_.options)) return;
    state.waits_until = now + wait_after_interruption(seed_, point, settings_.options);
    state.rebooted.reset();
}

// Equipment that tells nothing of its offer is taken to offer all it can.
void Limiter::hear_nothing(std::size_t point, BootTime now) {
    PointState& state = points_[point];
    if (state.model.known() || !state.link_up || now - start_ < settings_.options.first_report) return;
    const WholeAmps most = settings_.site.points[point].hard_setting;
    state.model.sent({.sent = start_, .amps = most, .then = most, .answered = start_});
}

std::vector<NodeNow> Limiter::nodes_now(const Now& now) {
    const site::Site& site = settings_.site;
    std::vector<NodeNow> nodes(site.nodes.size());
    for (std::size_t n = 0; n < nodes.size(); ++n) {
        NodeNow& node = nodes[n];
        node.rating = site.nodes[n].rating;
        node.legs = site.nodes[n].legs;
        node.unbalance = site.nodes[n].unbalance;
        node.limit = site::continuous_limit(site.nodes[n]);
        if (const auto& ceiling = ceilings_[n]) {
            const Amps most = now.boot < ceiling->until ? ceiling->most : ceiling->when_lost;
            node.ceiling = most < node.limit;
            node.limit = std::min(node.limit, most);
        }
        node.worst = worst_.usual(n);
        node.worst_long = worst_.longest(n);
        auto& watch = watches_[n];
        if (!watch) continue;
        node.watch = &*watch;
        node.stale = watch->stale(now.boot);
        node.stale_for_long =
            node.stale && now.boot - watch->stale_from() >= settings_.options.standing_after;
        if (node.stale || !watch->heard()) continue;
        for (const site::Leg leg : site::kLegs) {
            Amps load = watch->house_for_lowering(leg);
            for (std::size_t p = 0; p < points_.size(); ++p) {
                const auto& path = points_[p].path;
                const bool below = std::ranges::find(path, n) != path.end();
                if (below && site.points[p].legs.has(leg)) load += points_[p].model.expected(now.boot);
            }
            node.verdict[static_cast<std::size_t>(leg)] =
                watch->judge(leg, load, node.limit, node.rating, now.boot);
        }
    }
    return nodes;
}

bool Limiter::may_be_told(std::size_t point) const {
    const PointState& state = points_[point];
    const PointStatus status = state.model.status();
    return settings_.site.points[point].control == site::Control::driven && state.link_up &&
           state.model.known() && status != PointStatus::empty && status != PointStatus::finished &&
           status != PointStatus::faulted;
}

PointNow Limiter::point_now(std::size_t p, const Now& now) {
    PointState& state = points_[p];
    const site::Point& point = settings_.site.points[p];
    PointNow at{.point = &point,
                .path = state.path,
                .car_legs = site::fewest_legs(settings_.site, point),
                .commandable = may_be_told(p),
                .standing = settings_.unattended[p]};
    if (const Command* newest = state.model.newest()) at.offered = newest->at(now.boot);
    at.reserved = state.model.reserved(now.boot);
    const bool lost = !state.link_up && state.reported && state.model.status() != PointStatus::empty;
    if (lost) at.reserved = std::max(at.reserved, at.standing);
    at.wanted = wanted({.plan = state.plan ? &*state.plan : nullptr,
                        .hold = state.hold,
                        .waits_until = state.waits_until,
                        .unproven = settings_.unproven,
                        .reported = state.reported,
                        .offered = at.offered,
                        .standing = at.standing,
                        .most = point.hard_setting,
                        .start = start_},
                       now, settings_.options);
    const bool near_end = state.writes.near_end();
    at.calm = state.calm.length(now.boot) * (near_end ? 2 : 1);
    at.stop = state.stop;
    at.no_raise = state.writes.left() == 0;
    at.last_write = state.writes.left() == 1;
    return at;
}

std::vector<std::size_t> Limiter::least_slack_first() const {
    std::vector<std::size_t> order(points_.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto slack = [this](std::size_t p) {
        const auto& plan = points_[p].plan;
        return plan && plan->slack ? *plan->slack : Seconds::max();
    };
    std::ranges::stable_sort(order, {}, slack);
    return order;
}

Decision Limiter::decide(const Now& now) {
    notice_stall(now.boot);
    worst_.look(now, settings_);
    for (std::size_t p = 0; p < points_.size(); ++p) {
        points_[p].writes.look(now, settings_.zone);
        hear_nothing(p, now.boot);
        notice_interruption(p, now.boot);
    }
    const std::vector<NodeNow> nodes = nodes_now(now);
    std::vector<PointNow> points;
    for (std::size_t p = 0; p < points_.size(); ++p) points.push_back(point_now(p, now));
    const auto shares = share(nodes, points, least_slack_first(), now.boot, settings_.options);

    Decision decision;
    for (std::size_t p = 0; p < points_.size(); ++p) {
        PointState& state = points_[p];
        if (shares[p].retreated) state.calm.retreated(now.boot);
        if (shares[p].raised) state.calm.raised(now.boot);
        state.stop = shares[p].stop;
        const Milliseconds lease = lease_length(p, nodes, points, shares);
        decision.points.push_back(answer(p, points[p], shares[p], lease, now.boot));
    }
    decision.look_again = look_again(points, now.boot);
    promised_ = decision.look_again;
    return decision;
}

// By what it could do: within the limit even at the worst load, the longest; else the usual one, for share()
// has lowered it until it fits every rating.
Milliseconds Limiter::lease_length(std::size_t p, const std::vector<NodeNow>& nodes,
                                   const std::vector<PointNow>& points,
                                   const std::vector<Share>& shares) const {
    const Milliseconds usual = settings_.site.lease;
    for (const std::size_t n : points[p].path) {
        for (const site::Leg leg : site::kLegs) {
            if (!points[p].point->legs.has(leg)) continue;
            const Amps all = unattended_on(points, shares, n, leg) + site::on(nodes[n].worst_long, leg);
            if (all > nodes[n].limit + Amps(1e-9)) return usual;
        }
    }
    return std::max(usual, settings_.options.lease_most);
}

Reason Limiter::why_not_told(std::size_t point) const {
    const PointState& state = points_[point];
    const WholeAmps standing = settings_.unattended[point];
    if (settings_.site.points[point].control == site::Control::by_hand)
        return {.bind = Bind::installer_setting, .most = standing};
    if (!state.model.known()) return {.bind = Bind::unheard, .most = standing};
    switch (state.model.status()) {
        case PointStatus::empty:
            return {.bind = Bind::no_car, .most = standing};
        case PointStatus::finished:
            return {.bind = Bind::car_done, .most = standing};
        case PointStatus::faulted:
            return {.bind = Bind::fault};
        default:
            return {.bind = Bind::link_lost, .most = standing, .until = state.model.newest()->ends};
    }
}

PointDecision Limiter::answer(std::size_t p, const PointNow& at, const Share& share, Milliseconds lease,
                              BootTime now) {
    PointState& state = points_[p];
    const LimiterOptions& options = settings_.options;
    const Command* newest = state.model.newest();
    PointDecision decision{.setpoint = share.amps, .fallback = at.standing, .reasons = share.reasons};
    if (!at.commandable) {
        decision.setpoint = at.offered;
        decision.reasons = {why_not_told(p)};
        if (newest) decision.lease_ends = newest->ends;
        return decision;
    }
    ProfileWanted to_be{share.amps, at.standing, lease, std::nullopt};
    if (at.wanted.amps == WholeAmps(0)) to_be.wait_until = at.wanted.changes;
    // The same again would be refused again; a further reduction is never withheld.
    const bool just_refused =
        state.refused && now < *state.refused + options.answer_within && share.amps >= state.refused_amps;
    const bool differs =
        state.write_anew || state.model.unanswered(now) || needs_write(*newest, to_be, now, options);
    const bool reduces = share.amps < std::max(state.model.expected(now), newest->at(now));
    if (differs && !just_refused && (reduces || state.writes.left() > 0)) {
        Command command{.number = ++last_write_, .sent = now, .amps = share.amps, .then = at.standing};
        decision.write = Write{command.number, profile(to_be, now, options), reduces};
        if (const auto length = decision.write->periods.front().length) command.ends = now + *length;
        state.model.sent(command);
        state.writes.wrote();
        state.write_anew = false;
        newest = state.model.newest();
    }
    decision.setpoint = newest->at(now);
    if (newest->ends && now < *newest->ends) decision.lease_ends = newest->ends;
    return decision;
}

BootTime Limiter::look_again(const std::vector<PointNow>& points, BootTime now) const {
    const LimiterOptions& options = settings_.options;
    BootTime first = now + options.look_at_least;
    const auto look = [&](std::optional<BootTime> at) {
        if (at && *at > now) first = std::min(first, *at);
    };
    for (const auto& watch : watches_) {
        if (!watch) continue;
        look(watch->stale_from() + Milliseconds{1});
        look(watch->stale_from() + options.standing_after);
        look(watch->judged_again());
    }
    for (const auto& ceiling : ceilings_) {
        if (ceiling) look(ceiling->until);
    }
    for (std::size_t p = 0; p < points_.size(); ++p) {
        const CurrentModel& model = points_[p].model;
        look(points[p].wanted.changes);
        if (points_[p].refused) look(*points_[p].refused + options.answer_within);
        look(start_ + options.first_report);
        if (const Command* newest = model.newest()) {
            look(due(*newest, points[p].standing, options));
            look(newest->ends);
            if (!newest->answered) look(newest->sent + options.answer_within);
        }
    }
    return first;
}

}  // namespace lullwatt::control
