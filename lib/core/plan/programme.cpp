#include "core/plan/programme.hpp"

#include <algorithm>
#include <cassert>
#include <cstdint>
#include <limits>
#include <optional>
#include <utility>

#include "core/plan/exact.hpp"
#include "core/plan/lagrangian.hpp"
#include "core/plan/spread.hpp"
#include "core/plan/tolls.hpp"

namespace lullwatt::plan {
namespace {

// The states of one moment: energies first..first + width − 1, off and on, and `never started`, which has
// none.
template <class Regret>
struct Row {
    std::int64_t first = 0;
    std::int64_t width = 0;
    std::size_t at = 0;  // in the store: `width` of off, then as many of on
    Regret never = 0;
};

// Finds the plan of least regret among those whose regret is allowed.
template <class Regret>
class Programme {
  public:
    // `store` only lends its memory.
    Programme(const Grid& grid, const Dual& dual, const Flanks& flanks, Regret allowed,
              std::vector<Regret>& store);

    // The least regret of a feasible plan; empty where every one has more than is allowed.
    std::optional<Regret> run();
    // The amperes of the plan run() found.
    std::vector<int> trace();
    // How many states run() kept.
    [[nodiscard]] std::size_t states() const { return states_; }

  private:
    static constexpr bool kEndless = std::numeric_limits<Regret>::has_infinity;
    static constexpr Regret dead_ = kDead<Regret>;
    Regret capped(Wide value) const { return plan::capped<Regret>(value, wide_allowed_); }
    Tolls<Regret> tolls(std::size_t t) const { return tolls_of<Regret>(grid_, dual_, t, allowed_); }
    void begin_segment(std::size_t t);
    void recall_segment_before(std::size_t t);
    void advance(std::size_t t);
    void charge(const Row<Regret>& from, const Tolls<Regret>& toll, std::int64_t weight, std::int64_t first);
    Regret bearable(const std::vector<Relaxation>& flank, std::size_t t, bool on, std::int64_t energy) const;
    std::int64_t outermost(const std::vector<Relaxation>& flank, std::size_t t, std::int64_t energy) const;
    void keep_alive(std::size_t t, std::int64_t first, std::int64_t lowest, std::int64_t highest,
                    Regret never);
    Regret regret(std::size_t t, bool on, std::int64_t energy) const;

    const Grid& grid_;
    const Dual& dual_;
    const Flanks& flanks_;
    const Regret allowed_;
    const Wide wide_allowed_;
    std::vector<std::int64_t> still_to_come_;  // the most energy of the slots from each on
    // The store holds the rows of one segment of the slots. Of the others the first row is kept, from which
    // trace() computes them again: less to write than to keep, for a long search.
    struct Segment {
        std::size_t first = 0;  // its row, and where it is kept
        std::size_t kept_at = 0;
    };
    static constexpr std::size_t kSegmentStates = std::size_t{1} << 16;
    std::vector<Row<Regret>> rows_;
    std::vector<Regret>& store_;
    std::vector<Segment> segments_;
    std::vector<Regret> kept_;
    std::size_t states_ = 0;
    std::vector<Regret> off_, on_;  // the row being built
    SpreadRoom<Regret> room_;
    std::int64_t energy_ = 0;  // of the best plan, and how it ends
    bool ends_on_ = false;
};

template <class Regret>
Programme<Regret>::Programme(const Grid& grid, const Dual& dual, const Flanks& flanks, Regret allowed,
                             std::vector<Regret>& store)
    : grid_(grid),
      dual_(dual),
      flanks_(flanks),
      allowed_(allowed),
      wide_allowed_(static_cast<Wide>(allowed)),
      still_to_come_(grid.slots.size() + 1),
      rows_(grid.slots.size() + 1),
      store_(store) {
    store_.clear();
    for (std::size_t t = grid.slots.size(); t-- > 0;) {
        still_to_come_[t] =
            still_to_come_[t + 1] + static_cast<std::int64_t>(grid.slots[t].hi) * grid.slots[t].weight;
    }
}

// Fills on_, which begins at energy `first`, with what charging in the slot leads to.
template <class Regret>
void Programme<Regret>::charge(const Row<Regret>& from, const Tolls<Regret>& toll, std::int64_t weight,
                               std::int64_t first) {
    on_.resize(off_.size());
    if (from.width > 0 && std::min(toll.start, toll.carry_on) <= allowed_) {
        const Regret* const off = store_.data() + from.at;
        const Regret* const on = off + from.width;
        const std::int64_t at = from.first + toll.base * weight - first;
        std::fill_n(on_.begin(), at, dead_);
        least_of(on_.data() + at, off, toll.start, on, toll.carry_on, from.width);
        std::fill(on_.begin() + at + from.width, on_.end(), dead_);
        spread(on_,
               {.toward = toll.toward > 0 ? Toward::more : Toward::less,
                .stride = static_cast<std::ptrdiff_t>(weight),
                .reach = toll.reach,
                .step = toll.per_ampere,
                .missing = toll.missing},
               room_);
    } else {
        std::ranges::fill(on_, dead_);
    }
    if (from.never + toll.start_first > allowed_) return;
    for (int away = 0; away <= toll.reach; ++away) {
        if (away > 0 && away == toll.missing) continue;
        Regret& here = on_[static_cast<std::size_t>((toll.base + toll.toward * away) * weight - first)];
        const Regret at_current = static_cast<Regret>(away) * toll.per_ampere;
        here = std::min<Regret>(here, from.never + toll.start_first + at_current);
    }
}

// The most regret with which a state that has charged `energy` can be completed within what is allowed; below
// zero where it cannot.
template <class Regret>
Regret Programme<Regret>::bearable(const std::vector<Relaxation>& flank, std::size_t t, bool on,
                                   std::int64_t energy) const {
    const CostToGo& own = dual_.to_go[t];
    Wide least = wide_allowed_;
    for (const Relaxation& other : flank) {
        const CostToGo& to_go = other.to_go[t];
        const Wide ahead = (on ? to_go.on - own.on : to_go.off - own.off) +
                           (other.multiplier - dual_.multiplier) * (dual_.target - energy);
        least = std::min(least, wide_allowed_ - ahead);
    }
    return least < 0 ? Regret{-1} : narrowed<Regret>(least);
}

// The least energy (flank above) or the greatest (flank below) at which any state may still be completed.
template <class Regret>
std::int64_t Programme<Regret>::outermost(const std::vector<Relaxation>& flank, std::size_t t,
                                          std::int64_t energy) const {
    const CostToGo& own = dual_.to_go[t];
    for (const Relaxation& other : flank) {
        const CostToGo& to_go = other.to_go[t];
        const Wide steeper = other.multiplier - dual_.multiplier;
        const Wide spare = wide_allowed_ - std::min(to_go.on - own.on, to_go.off - own.off);
        // Where this holds already, the product spares a quotient.
        if (steeper * (dual_.target - energy) <= spare) continue;
        if (steeper > 0) {
            const Wide lowest = dual_.target - floor_quotient(spare, steeper);
            energy = static_cast<std::int64_t>(std::min<Wide>(lowest, grid_.limit + 1));
        } else if (steeper < 0) {
            const Wide highest = dual_.target + floor_quotient(spare, -steeper);
            energy = static_cast<std::int64_t>(std::max<Wide>(highest, -1));
        }
    }
    return energy;
}

// Appends the built row without the dead states at its ends and those outside lowest..highest.
template <class Regret>
void Programme<Regret>::keep_alive(std::size_t t, std::int64_t first, std::int64_t lowest,
                                   std::int64_t highest, Regret never) {
    auto begin = std::max<std::int64_t>(outermost(flanks_.above, t, lowest) - first, 0);
    auto end = std::min<std::int64_t>(outermost(flanks_.below, t, highest) - first + 1, std::ssize(off_));
    const auto dead = [&](std::int64_t i, const std::vector<Relaxation>& flank) {
        Regret& off = off_[static_cast<std::size_t>(i)];
        Regret& on = on_[static_cast<std::size_t>(i)];
        if (off <= allowed_ && off > bearable(flank, t, false, first + i)) off = dead_;
        if (on <= allowed_ && on > bearable(flank, t, true, first + i)) on = dead_;
        return off > allowed_ && on > allowed_;
    };
    while (begin < end && dead(begin, flanks_.above)) ++begin;
    while (begin < end && dead(end - 1, flanks_.below)) --end;
    const Row<Regret> row{first + begin, std::max<std::int64_t>(end - begin, 0), store_.size(), never};
    if (row.width > 0) {
        for (auto* side : {&off_, &on_}) {
            if constexpr (!kEndless) {
                for (Regret& regret : *side) regret = std::min(regret, dead_);
            }
            store_.insert(store_.end(), side->begin() + begin, side->begin() + end);
        }
    }
    rows_[t] = row;
    states_ += static_cast<std::size_t>(2 * row.width);
}

// Row t, the last of the store, becomes its first.
template <class Regret>
void Programme<Regret>::begin_segment(std::size_t t) {
    Row<Regret>& row = rows_[t];
    const auto at = store_.begin() + static_cast<std::ptrdiff_t>(row.at);
    segments_.push_back({t, kept_.size()});
    kept_.insert(kept_.end(), at, at + 2 * row.width);
    store_.erase(store_.begin(), at);
    row.at = 0;
}

// Gives up the store's segment, which begins at row t, for the one before it.
template <class Regret>
void Programme<Regret>::recall_segment_before(std::size_t t) {
    segments_.pop_back();
    const Segment& segment = segments_.back();
    Row<Regret>& row = rows_[segment.first];
    const auto at = kept_.begin() + static_cast<std::ptrdiff_t>(segment.kept_at);
    store_.assign(at, at + 2 * row.width);
    row.at = 0;
    for (std::size_t i = segment.first; i < t; ++i) advance(i);
}

template <class Regret>
void Programme<Regret>::advance(std::size_t t) {
    const Row<Regret> from = rows_[t];
    const Tolls<Regret> toll = tolls(t);
    const std::int64_t weight = grid_.slots[t].weight;

    // Every energy the next row may hold: carried over, or charged from `from` or from never started.
    std::int64_t first = grid_.limit + 1;
    std::int64_t last = -1;
    const auto widen = [&](std::int64_t low, std::int64_t high) {
        first = std::min(first, low);
        last = std::max(last, high);
    };
    const std::int64_t low = toll.lowest() * weight;
    const std::int64_t high = low + toll.reach * weight;
    const bool charges = std::min(toll.start, toll.carry_on) <= allowed_;
    if (from.width > 0) widen(from.first, from.first + from.width - 1 + (charges ? high : 0));
    if (from.never + toll.start_first <= allowed_) widen(low, high);
    const auto width = static_cast<std::size_t>(std::max<std::int64_t>(last - first + 1, 0));
    off_.resize(width);
    if (from.width > 0 && std::min(toll.stay_off, toll.stop) <= allowed_) {
        const Regret* const off = store_.data() + from.at;
        const Regret* const on = off + from.width;
        const std::int64_t at = from.first - first;
        std::fill_n(off_.begin(), at, dead_);
        least_of(off_.data() + at, off, toll.stay_off, on, toll.stop, from.width);
        std::fill(off_.begin() + at + from.width, off_.end(), dead_);
    } else {
        std::ranges::fill(off_, dead_);
    }
    charge(from, toll, weight, first);
    keep_alive(t + 1, first, grid_.need - still_to_come_[t + 1], grid_.limit,
               std::min<Regret>(from.never + toll.stay_never, dead_));
}

template <class Regret>
std::optional<Regret> Programme<Regret>::run() {
    segments_.push_back({});
    for (std::size_t t = 0; t < grid_.slots.size(); ++t) {
        if (store_.size() > kSegmentStates && t > segments_.back().first + 1) begin_segment(t);
        advance(t);
        if (rows_[t + 1].width == 0 && rows_[t + 1].never > allowed_) return std::nullopt;
    }
    Regret best = dead_;
    const Row<Regret>& end = rows_.back();
    for (std::int64_t energy = std::max(end.first, grid_.need); energy < end.first + end.width; ++energy) {
        const Regret beyond = capped(dual_.multiplier * (energy - dual_.target));
        for (const bool on : {false, true}) {
            const Regret here = regret(grid_.slots.size(), on, energy) + beyond;
            if (here >= best) continue;
            best = here;
            energy_ = energy;
            ends_on_ = on;
        }
    }
    return best <= allowed_ ? std::optional(best) : std::nullopt;
}

template <class Regret>
Regret Programme<Regret>::regret(std::size_t t, bool on, std::int64_t energy) const {
    const Row<Regret>& row = rows_[t];
    if (energy < row.first || energy >= row.first + row.width) return dead_;
    return store_[row.at + static_cast<std::size_t>(energy - row.first + (on ? row.width : 0))];
}

// Back from the end. Where several plans are equal in everything, a slot rests rather than charges and
// charges with less rather than more, later slots first: the same whatever regret was allowed.
template <class Regret>
std::vector<int> Programme<Regret>::trace() {
    std::vector<int> amps(grid_.slots.size());
    std::int64_t energy = energy_;
    bool on = ends_on_;
    for (std::size_t t = grid_.slots.size(); t-- > 0;) {
        if (t < segments_.back().first) recall_segment_before(t + 1);
        const Tolls<Regret> toll = tolls(t);
        const Regret here = regret(t + 1, on, energy);
        if (!on) {
            if (energy == 0) break;  // never started
            on = regret(t, false, energy) + toll.stay_off != here;
            continue;
        }
        const auto came_from = [&](int current) {
            if (current == grid_.slots[t].missing) return std::optional<bool>();
            const std::int64_t before = energy - static_cast<std::int64_t>(current) * grid_.slots[t].weight;
            const Regret extra = toll.per_ampere * static_cast<Regret>(std::abs(current - toll.base));
            if (before == 0 && rows_[t].never + toll.start_first + extra == here) return std::optional(false);
            if (regret(t, false, before) + toll.start + extra == here) return std::optional(false);
            if (regret(t, true, before) + toll.carry_on + extra == here) return std::optional(true);
            return std::optional<bool>();
        };
        std::optional<bool> was_on;
        int current = toll.lowest();
        while (!(was_on = came_from(current))) ++current;
        amps[t] = current;
        energy -= static_cast<std::int64_t>(current) * grid_.slots[t].weight;
        on = *was_on;
    }
    return amps;
}

// Searches with more and more regret allowed. One memory serves every search of a type.
class Deepening {
  public:
    explicit Deepening(const Grid& grid) : grid_(grid), dual_(lagrangian_bound(grid)) {}

    GridPlan run() {
        // Doubles hold whole numbers up to 2^53 exactly, and any machine has vector instructions for the
        // lesser of two. 64-bit integers reach further, 128-bit ones as far as it takes.
        constexpr Wide kExact = Wide{1} << 52;
        constexpr Wide kNarrow = Wide{1} << 58;
        if (auto plan = within(doubles_, 0)) return *plan;
        flanks_ = flanks(grid_, dual_);
        // Between a regret of mere preference and one of money there is little to find.
        Wide allowed = Wide{8} * static_cast<Wide>(grid_.slots.size());
        const Wide of_money = std::max({grid_.per_start, grid_.per_money, grid_.start / 64});
        for (;; allowed = std::max(of_money, more_than(allowed))) {
            auto plan = allowed <= kExact    ? within(doubles_, allowed)
                        : allowed <= kNarrow ? within(narrow_, allowed)
                                             : within(wide_, allowed);
            if (plan) return *plan;
        }
    }

  private:
    template <class Regret>
    std::optional<GridPlan> within(std::vector<Regret>& store, Wide allowed) {
        Programme<Regret> programme(grid_, dual_, flanks_, static_cast<Regret>(allowed), store);
        const std::optional<Regret> regret = programme.run();
        before_ = std::exchange(states_, programme.states());
        if (!regret) return std::nullopt;
        return GridPlan{programme.trace(), dual_.bound + static_cast<Wide>(*regret)};
    }

    // Where more regret hardly adds states, a great step, but not beyond half a start, about which most gaps
    // are; where it adds many, a small one.
    [[nodiscard]] Wide more_than(Wide allowed) const {
        const bool great = states_ < before_ + before_ / 4;
        return std::max(2 * allowed, great ? std::min(16 * allowed, grid_.start / 2) : 0);
    }

    const Grid& grid_;
    Dual dual_;
    Flanks flanks_;
    std::size_t states_ = 0;  // of the last search, and of the one before it
    std::size_t before_ = 0;
    std::vector<double> doubles_;
    std::vector<std::int64_t> narrow_;
    std::vector<Wide> wide_;
};

}  // namespace

GridPlan best_plan(const Grid& grid) { return Deepening(grid).run(); }

}  // namespace lullwatt::plan
