#include "core/plan/assemble.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/plan/exact.hpp"

namespace lullwatt::plan {
namespace {

using std::chrono::minutes;

// Whole minutes keep the greatest common divisor of slot lengths, and with it the planner's work, in bounds.
Instant up_to_the_minute(Instant at) { return std::chrono::ceil<minutes>(at); }
Instant down_to_the_minute(Instant at) { return std::chrono::floor<minutes>(at); }

std::vector<Instant> edges(const site::Site& site, const site::Point& point, const site::SiteLoads& loads,
                           const tariff::PriceCurve& prices, const Zone& zone, Interval span,
                           const Hold& hold, const std::vector<Absence>& absences) {
    std::vector<Instant> found = {span.begin, span.end};
    const auto add = [&](Instant at) {
        const Instant whole = down_to_the_minute(at);
        if (span.begin < whole && whole < span.end) found.push_back(whole);
    };
    const auto first = Instant{(span.begin.time_since_epoch() / kGrid + 1) * kGrid};
    for (Instant at = first; at < span.end; at += kGrid) found.push_back(at);
    for (const auto& piece : prices) add(piece.when.begin);
    for (const std::size_t node : site::path(site, point)) {
        for (const auto& piece : loads[node].forecast) add(piece.when.begin);
        for (const Instant at : site::may_change(site.nodes[node].ceilings, span, zone)) add(at);
    }
    for (const Absence& absence : absences) {
        add(absence.when.begin);
        add(up_to_the_minute(absence.when.end));
    }
    if (hold) {
        add(hold->begin);
        add(hold->end);
    }
    std::ranges::sort(found);
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

Bound bound_of(const site::Ceiling& ceiling) {
    switch (ceiling.limiter) {
        case site::Limiter::receptacle:
            return {BoundKind::receptacle};
        case site::Limiter::headroom:
            return {BoundKind::headroom, static_cast<int>(ceiling.node), static_cast<int>(ceiling.leg)};
        case site::Limiter::lease:
            return {BoundKind::lease, static_cast<int>(ceiling.node), static_cast<int>(ceiling.leg)};
        case site::Limiter::granted:
            return {BoundKind::granted, static_cast<int>(ceiling.node)};
        case site::Limiter::unbalance:
            return {BoundKind::unbalance, static_cast<int>(ceiling.node), static_cast<int>(ceiling.leg)};
        case site::Limiter::ceiling:
            return {BoundKind::ceiling, static_cast<int>(ceiling.node), static_cast<int>(ceiling.leg)};
        case site::Limiter::installer_setting:
            break;
    }
    return {BoundKind::installer_setting};
}

// The car as it is in the slot: away, or back with less in its battery.
void take_absences(const std::vector<Absence>& absences, Slot& slot) {
    for (const Absence& absence : absences) {
        if (absence.when.end <= slot.when.begin) slot.driven += absence.driven;
        if (absence.when.begin < slot.when.end && slot.when.begin < absence.when.end) {
            slot.most = WholeAmps(0);
            slot.bound = {BoundKind::away};
        }
    }
}

}  // namespace

Problem assemble(const site::Site& site, std::size_t point, const vehicle::Car& car,
                 const site::SiteLoads& loads, const site::Unattended& unattended,
                 const tariff::PriceCurve& prices, const Zone& zone, const Request& request, const Hold& hold,
                 const std::optional<site::Relief>& relief) {
    const site::Point& at = site.points[point];
    Problem problem;
    problem.per_ampere =
        site::watts_per_ampere(site.supply, site.leg_to_neutral,
                               site::used_legs(site.supply, site.leg_to_neutral, at.legs, car.legs));
    problem.least = std::max(at.minimum, car.minimum);
    problem.need = request.need;
    problem.floor = std::min(request.floor, request.need);
    problem.start_cost = request.start_cost;
    problem.preference = request.preference;
    problem.manner = at.control == site::Control::by_hand ? Manner::one_block : Manner::driven;

    problem.overhead = countable_overhead(request.overhead, problem.per_ampere);
    problem.taper = request.taper;
    problem.wakes = car.wakes;
    problem.price_cap = request.price_cap;

    const Interval span{up_to_the_minute(request.present.begin), down_to_the_minute(request.present.end)};
    if (span.end <= span.begin) return problem;
    const auto marks = edges(site, at, loads, prices, zone, span, hold, request.absences);
    problem.slots.reserve(marks.size() - 1);
    for (std::size_t i = 0; i + 1 < marks.size(); ++i) {
        const Interval when{marks[i], marks[i + 1]};
        const site::Ceiling ceiling = site::ceiling(site, point, loads, unattended, zone, when, relief);
        Slot slot{when, tariff::price_at(prices, when.begin).marginal, ceiling.most, bound_of(ceiling)};
        if (car.most < slot.most) {
            slot.most = car.most;
            slot.bound = {BoundKind::car};
        }
        if (hold && hold->begin < when.end && when.begin < hold->end) {
            slot.most = WholeAmps(0);
            slot.bound = {BoundKind::hold};
        }
        take_absences(request.absences, slot);
        problem.slots.push_back(slot);
    }
    return problem;
}

}  // namespace lullwatt::plan
