#include "core/control/sharing.hpp"

#include <algorithm>

#include "core/site/unbalance.hpp"

namespace lullwatt::control {
namespace {

using Verdict = HouseWatch::Verdict;

bool hangs_on(const PointNow& point, std::size_t node, site::Leg leg) {
    return point.point->legs.has(leg) && std::ranges::find(point.path, node) != point.path.end();
}

bool by_hand(const PointNow& point) { return point.point->control == site::Control::by_hand; }

// 0 or from the minimum up; what the control pilot has not is one less.
WholeAmps on_the_pilot(WholeAmps amps, WholeAmps minimum) {
    if (amps < minimum) return WholeAmps(0);
    return amps == kNotOnThePilot ? amps - WholeAmps(1) : amps;
}

class Round {
  public:
    Round(const std::vector<NodeNow>& nodes, const std::vector<PointNow>& points, BootTime now,
          const LimiterOptions& options)
        : nodes_(nodes), points_(points), now_(now), options_(options), shares_(points.size()) {
        for (std::size_t p = 0; p < points.size(); ++p) {
            shares_[p].amps = points[p].offered;
            shares_[p].stop = points[p].stop;
        }
    }

    void lower(std::size_t p);
    void raise(std::size_t p);
    std::vector<Share> result() { return std::move(shares_); }

  private:
    // What every other point on a leg takes, by `claim`.
    template <class Claim>
    [[nodiscard]] Amps others(std::size_t p, std::size_t node, site::Leg leg, const Claim& claim) const {
        Amps sum;
        for (std::size_t q = 0; q < points_.size(); ++q) {
            if (q != p && hangs_on(points_[q], node, leg)) sum += claim(q);
        }
        return sum;
    }
    template <class Visit>
    void each_leg(std::size_t p, const Visit& visit) const {
        for (const std::size_t node : points_[p].path) {
            for (const site::Leg leg : site::kLegs) {
                if (points_[p].point->legs.has(leg)) visit(node, leg);
            }
        }
    }
    [[nodiscard]] std::vector<Reason> caps_of_its_own(std::size_t p) const;
    // Without a fresh meter the house counts at its worst; a point keeps its standing current even then.
    template <class Claim>
    void add_unattended_caps(std::vector<Reason>& caps, std::size_t p, const Claim& claim) const;
    // How far cars may load one leg above the others; `claim` of points that are told.
    template <class Claim>
    void add_unbalance_caps(std::vector<Reason>& caps, std::size_t p, const Claim& claim) const;
    [[nodiscard]] Reason raise_cap(std::size_t p, std::size_t node, site::Leg leg, Milliseconds window) const;
    [[nodiscard]] WholeAmps least(const std::vector<Reason>& caps) const;
    [[nodiscard]] std::optional<Reason> tightest_now(std::size_t p) const;
    void explain(std::size_t p, std::vector<Reason> caps);

    const std::vector<NodeNow>& nodes_;
    const std::vector<PointNow>& points_;
    BootTime now_;
    const LimiterOptions& options_;
    std::vector<Share> shares_;
    std::vector<bool> lowered_ = std::vector<bool>(points_.size());  // has had its turn
};

std::vector<Reason> Round::caps_of_its_own(std::size_t p) const {
    const PointNow& at = points_[p];
    std::vector<Reason> caps{at.wanted.reason,
                             {.bind = Bind::installer_setting, .most = at.point->hard_setting}};
    if (at.point->receptacle) {
        constexpr double kReceptacleShare = 0.80;  // a continuous load on a plug (design §5)
        caps.push_back(
            {.bind = Bind::receptacle, .most = floor_amps(*at.point->receptacle * kReceptacleShare)});
    }
    return caps;
}

template <class Claim>
void Round::add_unattended_caps(std::vector<Reason>& caps, std::size_t p, const Claim& claim) const {
    const WholeAmps standing = points_[p].standing;
    const auto add = [&](Bind bind, std::size_t node, site::Leg leg, Amps room) {
        caps.push_back({bind, std::max(standing, floor_amps(room)), node, leg});
    };
    each_leg(p, [&](std::size_t n, site::Leg leg) {
        const NodeNow& node = nodes_[n];
        const Amps worst = site::on(node.worst, leg);
        const Amps taken = others(p, n, leg, claim);
        add(Bind::lease_cap, n, leg, node.rating - worst - taken);
        if (points_[p].last_write)
            add(Bind::write_budget, n, leg, node.limit - site::on(node.worst_long, leg) - taken);
        if (!node.watch) {
            add(Bind::unmetered, n, leg, node.limit - worst - taken);
        } else if (node.stale_for_long) {
            add(Bind::stale_for_long, n, leg, Amps(0));
        } else if (node.stale) {
            add(Bind::stale, n, leg, node.limit - worst - taken);
        }
    });
}

template <class Claim>
void Round::add_unbalance_caps(std::vector<Reason>& caps, std::size_t p, const Claim& claim) const {
    each_leg(p, [&](std::size_t n, site::Leg leg) {
        const NodeNow& node = nodes_[n];
        if (!node.unbalance || !site::uneven_on(points_[p].car_legs, node.legs, leg)) return;
        const Amps taken = others(p, n, leg, [&](std::size_t q) {
            if (!site::uneven_on(points_[q].car_legs, node.legs, leg)) return WholeAmps(0);
            if (points_[q].commandable) return claim(q);
            return by_hand(points_[q]) ? points_[q].standing
                                       : std::max(points_[q].standing, points_[q].reserved);
        });
        caps.push_back(
            {Bind::unbalance, std::max(WholeAmps(0), floor_amps(*node.unbalance - taken)), n, leg});
    });
}

WholeAmps Round::least(const std::vector<Reason>& caps) const {
    return std::ranges::min_element(caps, {}, &Reason::most)->most;
}

void Round::lower(std::size_t p) {
    const PointNow& at = points_[p];
    std::vector<Reason> caps = caps_of_its_own(p);
    add_unattended_caps(caps, p, [this](std::size_t q) {
        const WholeAmps standing = points_[q].standing;
        if (by_hand(points_[q]) || (points_[q].commandable && !lowered_[q])) return standing;
        return std::max(standing, points_[q].commandable ? shares_[q].amps : points_[q].reserved);
    });
    add_unbalance_caps(caps, p,
                       [this](std::size_t q) { return lowered_[q] ? shares_[q].amps : WholeAmps(0); });
    const WholeAmps without_house = std::min(at.offered, least(caps));
    const std::size_t own_caps = caps.size();
    Stop& stop = shares_[p].stop;
    bool too_little_for_long = false;
    each_leg(p, [&](std::size_t n, site::Leg leg) {
        const NodeNow& node = nodes_[n];
        const Verdict verdict = node.verdict[static_cast<std::size_t>(leg)];
        const bool looked_at_again = stop.since && node.watch && node.watch->last() > *stop.since;
        if (verdict == Verdict::keep && !looked_at_again) return;
        const Amps taken = others(p, n, leg, [this](std::size_t q) {
            if (by_hand(points_[q])) return WholeAmps(0);  // the meter shows it as house
            if (!points_[q].commandable) return points_[q].reserved;
            return lowered_[q] ? shares_[q].amps : WholeAmps(0);
        });
        const WholeAmps room = floor_amps(node.limit - node.watch->house_for_lowering(leg) - taken);
        const bool same_sample = stop.since && !looked_at_again;  // as stopped it: time alone is no proof
        too_little_for_long |=
            !same_sample && verdict != Verdict::above_rating_once && room < at.point->minimum;
        if (verdict == Verdict::keep) return;
        const Bind limit = node.ceiling ? Bind::ceiling : Bind::limit;
        caps.push_back({verdict == Verdict::above_limit ? limit : Bind::rating, room, n, leg});
    });
    Share& mine = shares_[p];
    const WholeAmps minimum = at.point->minimum;
    const WholeAmps allowed = std::min(at.offered, least(caps));
    mine.amps = on_the_pilot(allowed, minimum);
    mine.retreated = mine.amps < on_the_pilot(without_house, minimum);
    if (mine.amps == WholeAmps(0) && (mine.retreated || stop.since)) {
        if (too_little_for_long) stop.paused = true;
        if (!stop.since) stop.since = now_;
    }
    if (at.wanted.amps == WholeAmps(0)) stop = {};
    lowered_[p] = true;
    if (mine.retreated) mine.reasons.assign(caps.begin() + static_cast<std::ptrdiff_t>(own_caps), caps.end());
}

Reason Round::raise_cap(std::size_t p, std::size_t n, site::Leg leg, Milliseconds window) const {
    const NodeNow& node = nodes_[n];
    const WholeAmps now = shares_[p].amps;
    if (node.stale) return {Bind::stale, now, n, leg};
    const auto shared = [this](std::size_t q) {
        return by_hand(points_[q]) ? WholeAmps(0) : shares_[q].amps;
    };
    const auto reserved = [this](std::size_t q) {
        return by_hand(points_[q]) ? WholeAmps(0) : std::max(shares_[q].amps, points_[q].reserved);
    };
    const auto room = [&](Amps house, Amps taken) { return floor_amps(node.limit - house - taken); };
    const Amps taken = others(p, n, leg, reserved);
    const WholeAmps at_once = room(node.watch->house_for_raising(leg), taken);
    const bool waits_for_another = others(p, n, leg, shared) < taken;
    const Bind house = node.ceiling ? Bind::ceiling : Bind::limit;
    const Bind limit = waits_for_another ? Bind::other_point : house;
    if (at_once <= now) return {limit, at_once, n, leg};  // no calm time would lift it
    const auto greatest = node.watch->greatest(leg, now_, window);
    if (!greatest) return {Bind::calm_time, now, n, leg};
    const WholeAmps calm = room(*greatest, taken);
    if (calm < at_once) return {Bind::calm_time, calm, n, leg};
    return {limit, calm, n, leg};
}

void Round::raise(std::size_t p) {
    const PointNow& at = points_[p];
    Share& mine = shares_[p];
    std::vector<Reason> caps = caps_of_its_own(p);
    add_unattended_caps(caps, p, [this](std::size_t q) {
        const WholeAmps standing = points_[q].standing;
        if (by_hand(points_[q])) return standing;
        return std::max({standing, shares_[q].amps, points_[q].reserved});
    });
    add_unbalance_caps(caps, p,
                       [this](std::size_t q) { return std::max(shares_[q].amps, points_[q].reserved); });
    const std::size_t before_house = caps.size();
    const bool resumes = mine.stop.paused && mine.amps == WholeAmps(0);
    const Milliseconds window = resumes ? std::max(at.calm, options_.resume_after) : at.calm;
    each_leg(p, [&](std::size_t n, site::Leg leg) {
        if (nodes_[n].watch) caps.push_back(raise_cap(p, n, leg, window));
    });
    const WholeAmps minimum = at.point->minimum;
    WholeAmps up = on_the_pilot(least(caps), minimum);
    if (resumes) {
        const bool enough =
            std::all_of(caps.begin() + static_cast<std::ptrdiff_t>(before_house), caps.end(),
                        [&](const Reason& cap) { return cap.most >= minimum + options_.resume_above; });
        if (!enough) up = WholeAmps(0);
    }
    if (up > mine.amps && at.no_raise) caps.push_back({.bind = Bind::write_budget, .most = mine.amps});
    if (up > mine.amps && !at.no_raise) {
        mine.amps = up;
        mine.raised = true;
        mine.stop = {};
    }
    explain(p, std::move(caps));
}

// Of the legs that the house leaves least of, now and without a calm time.
std::optional<Reason> Round::tightest_now(std::size_t p) const {
    std::optional<Reason> tightest;
    each_leg(p, [&](std::size_t n, site::Leg leg) {
        const NodeNow& node = nodes_[n];
        if (!node.watch || !node.watch->heard()) return;
        const Amps taken = others(p, n, leg, [this](std::size_t q) {
            return by_hand(points_[q]) ? WholeAmps(0) : std::max(shares_[q].amps, points_[q].reserved);
        });
        const WholeAmps room = floor_amps(node.limit - node.watch->house_for_raising(leg) - taken);
        if (!tightest || room < tightest->most) tightest = Reason{Bind::below_minimum, room, n, leg};
    });
    return tightest;
}

// What keeps the point from more: every cap that its amperes have reached, the tightest first. Of a pause,
// first whether the house still leaves too little or is being watched.
void Round::explain(std::size_t p, std::vector<Reason> caps) {
    Share& mine = shares_[p];
    const WholeAmps minimum = points_[p].point->minimum;
    std::ranges::stable_sort(caps, {}, &Reason::most);
    const bool wanted = points_[p].wanted.amps >= minimum && mine.amps == WholeAmps(0);
    if (const auto tightest = wanted ? tightest_now(p) : std::nullopt) {
        const WholeAmps resumes_at = minimum + options_.resume_above;
        if (tightest->most < (mine.stop.paused ? resumes_at : minimum)) {
            mine.reasons.insert(mine.reasons.begin(), *tightest);
        } else if (mine.stop.paused) {
            mine.reasons.insert(mine.reasons.begin(), {.bind = Bind::resume_wait, .most = tightest->most});
        }
    }
    for (const Reason& cap : caps) {
        if (on_the_pilot(cap.most, minimum) <= mine.amps) mine.reasons.push_back(cap);
    }
    if (mine.reasons.empty()) mine.reasons.push_back(caps.front());
}

}  // namespace

std::vector<Share> share(const std::vector<NodeNow>& nodes, const std::vector<PointNow>& points,
                         const std::vector<std::size_t>& order, BootTime now, const LimiterOptions& options) {
    Round round(nodes, points, now, options);
    for (const std::size_t p : order) {
        if (points[p].commandable) round.lower(p);
    }
    for (const std::size_t p : order) {
        if (points[p].commandable) round.raise(p);
    }
    return round.result();
}

Amps unattended_on(const std::vector<PointNow>& points, const std::vector<Share>& shares, std::size_t node,
                   site::Leg leg) {
    Amps sum;
    for (std::size_t p = 0; p < points.size(); ++p) {
        if (!hangs_on(points[p], node, leg)) continue;
        const WholeAmps live = std::max(shares[p].amps, points[p].reserved);
        sum += by_hand(points[p]) ? points[p].standing : std::max(points[p].standing, live);
    }
    return sum;
}

}  // namespace lullwatt::control
