#include "core/plan/reasons.hpp"

#include <algorithm>

#include "core/plan/charging.hpp"
#include "core/plan/evaluate.hpp"
#include "core/plan/grid.hpp"

namespace lullwatt::plan {
namespace {

// A claim about other plans is made where one that is written down shows it: a slot's energy moved to another
// of the same length, or a run moved as it is. That such a plan is not the best one is what the plan proves.
class Reasons {
  public:
    Reasons(const Problem& problem, const Plan& plan, Together together)
        : problem_(problem), plan_(plan), together_(together) {
        follow();
        settle_floor();
        settle_gentle();
        settle_chosen();
        settle_open();
        settle_runs();
    }

    [[nodiscard]] Why why(std::size_t t) const { return charges(t) ? why_charged(t) : why_off(t); }
    // The dearest price that is chosen; of the floor where there is no more.
    [[nodiscard]] std::optional<Rate> dearest() const { return chosen_ ? chosen_ : any_; }

  private:
    struct Run {
        std::size_t first = 0, last = 0;
        bool there = false;
    };
    struct State {
        Wide net = 0;   // what the slot brings
        Wide left = 0;  // what it would bring more at its most
        bool takes = false;
        bool floor = false;
        Run before, behind;  // the nearest that begin no later, and end no earlier
    };

    [[nodiscard]] const Slot& slot(std::size_t t) const { return problem_.slots[t]; }
    [[nodiscard]] int amps(std::size_t t) const { return plan_.slots[t].amps.count(); }
    [[nodiscard]] bool charges(std::size_t t) const { return t < plan_.slots.size() && amps(t) > 0; }
    [[nodiscard]] bool before(std::size_t t) const { return t > 0 && charges(t - 1); }
    [[nodiscard]] bool after(std::size_t t) const { return charges(t + 1); }
    [[nodiscard]] bool is_short() const { return plan_.objective.short_by > MilliwattHours{}; }
    [[nodiscard]] bool as_long(std::size_t t, std::size_t u) const {
        return slot(t).when.length() == slot(u).when.length();
    }
    [[nodiscard]] bool by_hand() const { return problem_.manner == Manner::one_block; }

    void follow();
    [[nodiscard]] bool lacks_without_any() const;
    void settle_floor();
    void settle_gentle();
    void settle_chosen();
    void settle_open();
    void settle_runs();
    [[nodiscard]] Why why_charged(std::size_t t) const;
    [[nodiscard]] Why why_dearer(std::size_t t) const;
    [[nodiscard]] Why why_off(std::size_t t) const;
    [[nodiscard]] Why why_spared(std::size_t t) const;
    // Whether what `t` carries could be moved to slots that are no dearer, at the price of a start.
    [[nodiscard]] bool spares_a_start(std::size_t t) const;
    // Whether the nearest run, or the slots at its far end, could as well charge in `t`: at the same prices
    // and without another start.
    [[nodiscard]] bool a_run_moves_to(std::size_t t) const;
    [[nodiscard]] bool runs_in_presence_of(std::size_t t) const;

    const Problem& problem_;
    const Plan& plan_;
    Together together_;
    std::vector<State> states_;
    std::vector<std::size_t> open_;  // with something left, no dearer than what is chosen
    Wide net_ = 0;
    bool all_needed_ = false;  // whether nothing is left, and no slot could rest without more being short
    bool plain_ = true;        // whether no step of the taper is within reach
    bool has_floor_ = false;   // whether the plan charges it at once
    std::optional<Rate> cheapest_left_;
    std::optional<Rate> chosen_, any_;  // the dearest price
    std::size_t dearest_slot_ = 0;      // that is chosen
    int greatest_if_gentle_ = 0;
};

void Reasons::follow() {
    states_.reserve(plan_.slots.size());
    const bool direct = problem_.taper.empty() && !by_hand();
    const std::int64_t ampere = thirds_per_ampere_minute(problem_);
    const std::int64_t lost = thirds_of_overhead(problem_);
    for (std::size_t t = 0; t < plan_.slots.size(); ++t) {
        State state;
        Wide most = 0;
        if (direct) {  // the same as below, of which this is most of the time that reasons take
            state.takes = usable(problem_, slot(t));
            const Wide length = minutes(slot(t));
            if (state.takes) most = length * (slot(t).most.count() * ampere - lost);
            if (amps(t) > 0) state.net = length * (amps(t) * ampere - lost);
        } else {
            const Intake all =
                usable(problem_, slot(t)) ? intake(problem_, slot(t), slot(t).most, net_) : Intake{};
            state.takes = all.amps > WholeAmps(0);
            most = all.net;
            state.net = planned_intake(problem_, slot(t), plan_.slots[t].amps, net_).net;
        }
        state.left = std::max<Wide>(most - state.net, 0);
        if (state.left > 0) cheapest_left_ = std::min(cheapest_left_.value_or(slot(t).price), slot(t).price);
        net_ += state.net;
        states_.push_back(state);
    }
    const bool reached = !problem_.taper.empty() && net_ >= thirds(problem_.taper.front().from);
    plain_ = !reached || net_ == thirds(problem_.taper.front().from);
    if (!cheapest_left_) all_needed_ = lacks_without_any() && !(reached && is_short());
}

// Whether all usable slots but the one that brings least are not enough.
bool Reasons::lacks_without_any() const {
    Wide least = 0;
    for (const Slot& one : problem_.slots) {
        if (!usable(problem_, one)) continue;
        const Wide all = net_of(problem_, one, one.most);
        least = least == 0 ? all : std::min(least, all);
    }
    return most_energy(problem_, kNoCap) - least < thirds(problem_.need);
}

void Reasons::settle_floor() {
    if (by_hand()) return;
    const FloorSlots floor = floor_slots(problem_);
    std::size_t first = 0;
    while (first < floor.full && (!floor.holds(first) || !usable(problem_, slot(first)))) ++first;
    has_floor_ = floor.reach > WholeAmps(0) && charges(first);
    Wide net = 0;
    for (std::size_t t = 0; has_floor_ && t < states_.size() && net < thirds(problem_.floor); ++t) {
        states_[t].floor = charges(t);
        net += states_[t].net;
    }
}

void Reasons::settle_gentle() {
    if (problem_.preference != Preference::gentle || by_hand()) return;
    std::vector<int> offered;
    for (std::size_t t = 0; t < states_.size(); ++t) offered.push_back(amps(t));
    greatest_if_gentle_ = greatest_beyond_floor(problem_, offered);
}

void Reasons::settle_chosen() {
    for (std::size_t t = 0; t < states_.size(); ++t) {
        if (!charges(t)) continue;
        any_ = std::max(any_.value_or(slot(t).price), slot(t).price);
        if (states_[t].floor || (chosen_ && slot(t).price < *chosen_)) continue;
        // Of equal ones the one that can give up most.
        if (chosen_ != slot(t).price || amps(t) > amps(dearest_slot_)) dearest_slot_ = t;
        chosen_ = slot(t).price;
    }
}

void Reasons::settle_open() {
    for (std::size_t t = 0; chosen_ && t < states_.size(); ++t) {
        if (states_[t].left > 0 && slot(t).price <= *chosen_) open_.push_back(t);
    }
}

void Reasons::settle_runs() {
    Run run;
    for (std::size_t t = 0; t < states_.size(); ++t) {
        if (charges(t)) run = {before(t) ? run.first : t, t, true};
        states_[t].before = run;
    }
    run = {};
    for (std::size_t t = states_.size(); t-- > 0;) {
        if (charges(t)) run = {t, after(t) ? run.last : t, true};
        states_[t].behind = run;
    }
}

Why Reasons::why_charged(std::size_t t) const {
    const PlannedSlot& planned = plan_.slots[t];
    const bool at_most = planned.amps == slot(t).most;
    const bool takes_less = planned.drawn < planned.amps;
    if (states_[t].floor) return Why::floor;
    if (takes_less || (!by_hand() && !at_most && states_[t].left == 0)) return Why::tapers;
    if (by_hand()) return Why::in_block;
    if (at_most && all_needed_) return Why::no_choice;
    if (is_short()) return Why::falls_short;
    if (dearer_than_cap(problem_, slot(t))) return Why::short_without;
    if (cheapest_left_ && *cheapest_left_ < slot(t).price) return why_dearer(t);
    if (at_most) return Why::cheapest;
    if (amps(t) == greatest_if_gentle_) return Why::gentle;
    const bool low = planned.amps == problem_.least && before(t) && after(t);
    return low && spares_a_start(t) ? Why::bridges : Why::fills_the_rest;
}

Why Reasons::why_dearer(std::size_t t) const {
    if (!problem_.wakes && before(t) && after(t)) return Why::keeps_awake;
    Wide lacking = thirds(problem_.need) - net_ + states_[t].net;
    for (const std::size_t u : open_) {
        if (lacking <= 0) break;
        if (slot(u).price < slot(t).price) lacking -= states_[u].left;
    }
    if (plain_ && lacking > 0) return Why::dearer_rest;
    return spares_a_start(t) ? Why::bridges : Why::no_better;
}

bool Reasons::spares_a_start(std::size_t t) const {
    if (!plain_ || !problem_.wakes) return false;
    const bool inside = before(t) && after(t);
    const bool alone = !before(t) && !after(t);
    int room = 0;  // in slots that charge
    for (const std::size_t u : open_) {
        if (u == t || slot(u).price > slot(t).price || !as_long(u, t)) continue;
        const int more = slot(u).most.count() - amps(u);
        const bool apart = !charges(u) && !before(u) && !after(u);
        if (charges(u)) room += more;
        if (apart && !alone && more >= amps(t)) return true;
        if (inside && !charges(u) && more >= amps(t)) return true;
    }
    // With an overhead fewer slots would bring more than may be.
    return inside && room >= amps(t) && together_ == Together::yes && problem_.overhead == Watts(0);
}

Why Reasons::why_off(std::size_t t) const {
    if (!usable(problem_, slot(t)))
        return slot(t).bound.kind == BoundKind::away ? Why::away : Why::below_minimum;
    if (!states_[t].takes && (is_short() || has_floor_)) return Why::takes_no_more;
    if (!is_short() && !chosen_) return Why::needs_met;
    if (by_hand()) return any_ ? Why::outside_block : Why::no_block;
    const bool sleeps = !problem_.wakes && !before(t) && !after(t) && runs_in_presence_of(t);
    if (is_short()) return sleeps ? Why::would_not_wake : Why::no_less_short;
    if (slot(t).price > *chosen_) return dearer_than_cap(problem_, slot(t)) ? Why::above_cap : Why::dearer;
    if (a_run_moves_to(t)) return Why::same_price_other;
    return sleeps ? Why::would_not_wake : why_spared(t);
}

Why Reasons::why_spared(std::size_t t) const {
    const std::size_t from = dearest_slot_;
    if (!plain_ || !problem_.wakes || slot(t).price >= *chosen_ || !as_long(t, from))
        return Why::saves_nothing;
    const bool apart = !before(t) && !after(t);
    const bool alone = !before(from) && !after(from);
    const bool all = amps(from) <= slot(t).most.count();
    const int part = std::min(slot(t).most.count(), amps(from) - problem_.least.count());
    const bool some = part >= problem_.least.count() && WholeAmps(part) != problem_.missing &&
                      WholeAmps(amps(from) - part) != problem_.missing;
    const bool loses = problem_.overhead > Watts(0);
    if (apart && ((all && !alone) || (some && !loses))) return Why::start_not_worth;
    return some && loses ? Why::hours_not_worth : Why::saves_nothing;
}

bool Reasons::a_run_moves_to(std::size_t t) const {
    if (!plain_ || together_ != Together::yes) return false;
    const auto move = [&](std::size_t from, std::size_t to, std::size_t count) {
        for (std::size_t u = std::min(from, to); !problem_.wakes && u < std::max(from, to); ++u) {
            if (slot(u).bound.kind == BoundKind::away) return false;
        }
        for (; count > 0; --count, ++from, ++to) {
            if (states_[from].floor || slot(to).price != slot(from).price || !as_long(to, from) ||
                slot(to).most < plan_.slots[from].amps)
                return false;
        }
        return true;
    };
    const auto& [first, last, before_it] = states_[t].before;
    std::size_t count = std::min(t - last, last + 1 - first);
    if (before_it && move(first, t + 1 - count, count)) return true;
    const Run& behind = states_[t].behind;
    count = std::min(behind.first - t, behind.last + 1 - behind.first);
    return behind.there && move(behind.last + 1 - count, t, count);
}

bool Reasons::runs_in_presence_of(std::size_t t) const {
    const auto away = [&](std::size_t u) { return slot(u).bound.kind == BoundKind::away; };
    for (std::size_t u = t; u-- > 0 && !away(u);) {
        if (charges(u)) return true;
    }
    for (std::size_t u = t + 1; u < states_.size() && !away(u); ++u) {
        if (charges(u)) return true;
    }
    return false;
}

}  // namespace

void give_reasons(const Problem& problem, Plan& plan, Together together) {
    const Reasons reasons(problem, plan, together);
    plan.marginal_price = reasons.dearest();
    for (std::size_t t = 0; t < plan.slots.size(); ++t) plan.slots[t].why = reasons.why(t);
}

}  // namespace lullwatt::plan
