#include "core/plan/table.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "core/plan/exact.hpp"
#include "core/plan/spread.hpp"

namespace lullwatt::plan {
namespace {

// How the car enters a slot. Asleep: it has paused and does not go on before it is plugged in anew.
enum Mode : std::size_t { off, on, asleep };

// The energies a plan may end with, in units, and what each unit below the last of them costs.
struct End {
    std::int64_t first = 0;
    std::int64_t last = 0;
    Wide of_lacking = 0;
    std::size_t plugged_in = 0;  // the slot from whose begin on energies are reckoned
};

// From this energy on the car takes no more than `most`.
struct Band {
    std::int64_t from = 0;
    int most = 0;
};

// The least cost from one moment on, by the energy charged until then and by mode.
template <class Cost>
struct Row {
    std::int64_t first = 0;
    std::array<std::vector<Cost>, 3> of;
    [[nodiscard]] std::int64_t width() const { return std::ssize(of[off]); }
};

template <class Cost>
class Table {
  public:
    Table(const Problem& problem, const Grid& grid, const End& end)
        : problem_(problem),
          grid_(grid),
          end_(end),
          lowest_(grid.slots.size() + 1, end.first),
          highest_(grid.slots.size() + 1, 0) {
        const auto gain = [](const GridSlot& slot) {
            return std::max<std::int64_t>(std::int64_t{slot.hi} * slot.weight - slot.lost, 0);
        };
        for (std::size_t t = grid.slots.size(); t-- > 0;)
            lowest_[t] = std::max<std::int64_t>(lowest_[t + 1] - gain(grid.slots[t]), 0);
        for (std::size_t t = end.plugged_in; t < grid.slots.size(); ++t)
            highest_[t + 1] = std::min(highest_[t] + gain(grid.slots[t]), end.last);
    }

    // The cost of a plug-in at the begin of slots count − 1 down to `first`, each told as it is known.
    template <class Told>
    void value(std::size_t first, Told told) {
        Row<Cost> row = last_row();
        for (std::size_t t = grid_.slots.size(); t-- > first;) {
            row = before(t, row);
            told(t, at(row, off, 0));
        }
    }
    std::optional<GridPlan> plan();

    static constexpr bool is_none(Cost cost) { return cost > kNone / 2; }

  private:
    static constexpr Cost kNone = static_cast<Cost>(Wide{1} << (sizeof(Cost) == sizeof(Wide) ? 125 : 61));

    [[nodiscard]] Cost at(const Row<Cost>& row, Mode mode, std::int64_t energy) const {
        const std::int64_t i = energy - row.first;
        return i < 0 || i >= row.width() ? kNone : row.of[mode][static_cast<std::size_t>(i)];
    }
    [[nodiscard]] Row<Cost> empty_row(std::size_t t) const;
    [[nodiscard]] Row<Cost> last_row() const;
    [[nodiscard]] Row<Cost> before(std::size_t t, const Row<Cost>& next);
    void charge(std::size_t t, const Row<Cost>& next, const Row<Cost>& row);
    void charge_band(const GridSlot& slot, const Row<Cost>& next, std::int64_t from, std::int64_t to,
                     int most, Cost* out);
    [[nodiscard]] std::vector<Band> bands(std::size_t t) const;
    void charge_past_step(const GridSlot& slot, const Row<Cost>& next, std::int64_t from, std::int64_t to,
                          int most, const std::vector<Band>& bands, std::size_t beyond, Cost* out);
    [[nodiscard]] Cost start() const { return static_cast<Cost>(grid_.start); }
    [[nodiscard]] Cost of_ampere(const GridSlot& slot) const {
        return static_cast<Cost>(slot.cost * slot.weight);
    }
    [[nodiscard]] Mode after_rest(std::size_t t, Mode mode) const;
    // One slot of the trace: the best of resting and of every current; moves on to the state behind it.
    struct State {
        std::int64_t energy = 0;
        Mode mode = off;
    };
    int step(std::size_t t, const Row<Cost>& next, State& state) const;

    const Problem& problem_;
    const Grid& grid_;
    End end_;
    std::vector<std::int64_t> lowest_, highest_;  // energies of each row that can matter
    std::vector<Cost> charged_;                   // of the row being built
    std::vector<Cost> window_;
    SpreadRoom<Cost> room_;
};

template <class Cost>
Row<Cost> Table<Cost>::empty_row(std::size_t t) const {
    Row<Cost> row{.first = lowest_[t]};
    const auto width = static_cast<std::size_t>(std::max<std::int64_t>(highest_[t] - lowest_[t] + 1, 0));
    for (auto& costs : row.of) costs.assign(width, kNone);
    return row;
}

template <class Cost>
Row<Cost> Table<Cost>::last_row() const {
    Row<Cost> row = empty_row(grid_.slots.size());
    for (auto& costs : row.of) {
        for (std::int64_t i = 0; i < row.width(); ++i) {
            costs[static_cast<std::size_t>(i)] =
                static_cast<Cost>(end_.of_lacking * (end_.last - row.first - i));
        }
    }
    return row;
}

template <class Cost>
Mode Table<Cost>::after_rest(std::size_t t, Mode mode) const {
    if (problem_.wakes || problem_.slots[t].bound.kind == BoundKind::away) return off;
    return mode == off ? off : asleep;
}

// What the car takes in slot t by the energy it has, where that is less than the slot's most.
template <class Cost>
std::vector<Band> Table<Cost>::bands(std::size_t t) const {
    std::vector<Band> found;
    for (const TaperStep& step : problem_.taper) {
        const Wide from = thirds(step.from) + thirds(problem_.slots[t].driven);
        found.push_back(
            {static_cast<std::int64_t>(-floor_quotient(-from, grid_.unit_thirds)), step.most.count()});
    }
    return found;
}

// What `amps` bring into a battery that holds `energy`, with the steps from `beyond` on ahead of it: up to a
// step, or what the lower current brings in all of the slot (charging.hpp).
std::int64_t gained(const GridSlot& slot, int amps, std::int64_t energy, const std::vector<Band>& bands,
                    std::size_t beyond) {
    std::int64_t gain = 0;
    for (std::size_t i = beyond; i < bands.size(); ++i) {
        if (bands[i].most >= amps) continue;
        const std::int64_t room = (bands[i].from - energy + slot.grain - 1) / slot.grain * slot.grain;
        if (std::int64_t{amps} * slot.weight - slot.lost <= room) break;
        gain = std::max(gain, room);
        amps = bands[i].most;
    }
    return std::max(gain, std::int64_t{amps} * slot.weight - slot.lost);
}

// The same as charge_band where a step of the taper may be passed within the slot.
template <class Cost>
void Table<Cost>::charge_past_step(const GridSlot& slot, const Row<Cost>& next, std::int64_t from,
                                   std::int64_t to, int most, const std::vector<Band>& bands,
                                   std::size_t beyond, Cost* out) {
    const int lo = std::min(slot.lo, most);
    const int hi = std::max(lo, std::min(slot.hi, most));
    const auto of_unit = static_cast<Cost>(slot.cost);
    for (std::int64_t energy = from; energy < to; ++energy, ++out) {
        for (int amps = lo; amps <= hi; ++amps) {
            const std::int64_t gain = gained(slot, amps, energy, bands, beyond);
            if (gain <= 0 || amps == slot.missing) continue;
            const Cost ahead = at(next, on, energy + gain);
            if (!is_none(ahead)) *out = std::min(*out, ahead + of_unit * static_cast<Cost>(gain + slot.lost));
        }
    }
}

// out[i] = the least cost of charging with lo..most from energy from + i, for all below `to`.
template <class Cost>
void Table<Cost>::charge_band(const GridSlot& slot, const Row<Cost>& next, std::int64_t from, std::int64_t to,
                              int most, Cost* out) {
    const std::int64_t count = to - from;
    const int lo = std::min(slot.lo, most);
    const int hi = std::max(lo, std::min(slot.hi, most));
    const std::int64_t gain = std::int64_t{lo} * slot.weight - slot.lost;
    if (count <= 0) return;
    if (gain <= 0) {
        std::fill_n(out, count, kNone);
        return;
    }
    const int reach = hi - lo;
    const std::int64_t width = count + std::int64_t{reach} * slot.weight;
    window_.assign(static_cast<std::size_t>(width), kNone);
    const std::int64_t first = from + gain - next.first;  // of the window, in `next`
    const std::int64_t begin = std::clamp<std::int64_t>(first, 0, next.width());
    const std::int64_t end = std::clamp<std::int64_t>(first + width, begin, next.width());
    if (end > begin) std::copy_n(next.of[on].begin() + begin, end - begin, window_.begin() + (begin - first));
    spread(window_,
           {.toward = Toward::less,
            .stride = slot.weight,
            .reach = reach,
            .step = of_ampere(slot),
            .missing = slot.missing > lo ? slot.missing - lo : 0},
           room_);
    const Cost of_least = of_ampere(slot) * static_cast<Cost>(lo);
    for (std::int64_t i = 0; i < count; ++i) {
        const Cost cost = window_[static_cast<std::size_t>(i)];
        out[i] = is_none(cost) ? kNone : cost + of_least;
    }
}

template <class Cost>
void Table<Cost>::charge(std::size_t t, const Row<Cost>& next, const Row<Cost>& row) {
    const GridSlot& slot = grid_.slots[t];
    charged_.assign(static_cast<std::size_t>(row.width()), kNone);
    if (slot.hi == 0) return;
    const std::int64_t end = row.first + row.width();
    const std::vector<Band> steps = bands(t);
    std::int64_t from = row.first;
    int most = slot.hi;
    const auto out = [&] { return charged_.data() + (from - row.first); };
    for (std::size_t i = 0; i <= steps.size(); ++i) {
        const std::int64_t to = i < steps.size() ? std::clamp(steps[i].from, from, end) : end;
        // From here on the most that is charged may pass the step.
        const int hi = std::max(std::min(slot.lo, most), std::min(slot.hi, most));
        const std::int64_t near =
            i < steps.size() ? steps[i].from - (std::int64_t{hi} * slot.weight - slot.lost) : end;
        const std::int64_t until = std::clamp(near, from, to);
        charge_band(slot, next, from, until, most, out());
        from = until;
        charge_past_step(slot, next, from, to, most, steps, i, out());
        from = to;
        if (i < steps.size()) most = steps[i].most;
    }
}

template <class Cost>
Row<Cost> Table<Cost>::before(std::size_t t, const Row<Cost>& next) {
    Row<Cost> row = empty_row(t);
    charge(t, next, row);
    const bool rests = grid_.slots[t].may_rest;
    const auto rested = [&](Mode mode, std::int64_t energy) {
        return rests ? at(next, after_rest(t, mode), energy) : kNone;
    };
    for (std::int64_t i = 0; i < row.width(); ++i) {
        const auto here = static_cast<std::size_t>(i);
        const Cost charged = charged_[here];
        const std::int64_t energy = row.first + i;
        row.of[on][here] = std::min(charged, rested(on, energy));
        row.of[off][here] = std::min(is_none(charged) ? kNone : charged + start(), rested(off, energy));
        if (!problem_.wakes) row.of[asleep][here] = rested(asleep, energy);
    }
    return row;
}

// Where several plans are equal, a slot rests rather than charges and charges with less rather than more.
template <class Cost>
int Table<Cost>::step(std::size_t t, const Row<Cost>& next, State& state) const {
    const GridSlot& slot = grid_.slots[t];
    const State from = state;
    Cost best = kNone;
    int amps = 0;
    if (slot.may_rest) {
        state.mode = after_rest(t, from.mode);
        best = at(next, state.mode, from.energy);
    }
    if (slot.hi == 0 || from.mode == asleep) return amps;
    const std::vector<Band> steps = bands(t);
    int most = slot.hi;
    std::size_t beyond = 0;
    for (; beyond < steps.size() && steps[beyond].from <= from.energy; ++beyond) most = steps[beyond].most;
    const int lo = std::min(slot.lo, most);
    for (int drawn = lo; drawn <= std::max(lo, std::min(slot.hi, most)); ++drawn) {
        const std::int64_t gain = gained(slot, drawn, from.energy, steps, beyond);
        if (gain <= 0 || drawn == slot.missing) continue;
        const Cost ahead = at(next, on, from.energy + gain);
        if (is_none(ahead)) continue;
        const Cost cost = ahead + static_cast<Cost>(slot.cost) * static_cast<Cost>(gain + slot.lost) +
                          (from.mode == off ? start() : Cost{0});
        if (cost >= best) continue;
        best = cost;
        amps = std::max(drawn, problem_.least.count());
        state = {from.energy + gain, on};
    }
    assert(!is_none(best));
    return amps;
}

// Keeps every so many rows and computes those between again, for the rows of a night are too many to keep.
template <class Cost>
std::optional<GridPlan> Table<Cost>::plan() {
    const std::size_t count = grid_.slots.size();
    const auto stride = static_cast<std::size_t>(std::ceil(std::sqrt(static_cast<double>(count) + 1)));
    std::vector<Row<Cost>> kept((count + stride - 1) / stride + 1);
    Row<Cost> row = last_row();
    kept.back() = row;
    for (std::size_t t = count; t-- > 0;) {
        row = before(t, row);
        if (t % stride == 0) kept[t / stride] = row;
    }
    State state;
    const Cost cost = at(row, off, 0);
    if (is_none(cost)) return std::nullopt;
    GridPlan found{.cost = static_cast<Wide>(cost)};
    for (std::size_t first = 0; first < count; first += stride) {
        const std::size_t end = std::min(first + stride, count);
        std::vector<Row<Cost>> rows(end - first + 1);
        rows.back() = kept[end == count ? kept.size() - 1 : end / stride];
        for (std::size_t t = end; t-- > first + 1;) rows[t - first] = before(t, rows[t - first + 1]);
        for (std::size_t t = first; t < end; ++t) found.amps.push_back(step(t, rows[t - first + 1], state));
    }
    return found;
}

// Calls `use` with a table in the least kind of number that holds its sums. Doubles hold whole numbers up to
// 2^53 exactly, and every machine has a vector instruction for the lesser of two.
template <class Use>
auto with_table(const Problem& problem, const Grid& grid, const End& end, Use use) {
    const Wide sum = greatest_sum(grid) + end.of_lacking * (end.last - end.first);
    assert(sum < Wide{1} << 123);
    if (sum < Wide{1} << 51) return use(Table<double>(problem, grid, end));
    if (sum < Wide{1} << 59) return use(Table<std::int64_t>(problem, grid, end));
    return use(Table<Wide>(problem, grid, end));
}

// Tells the cost of every plug-in from `first` on that has one.
template <class Told>
void tell_values(const Problem& problem, const Grid& grid, const End& end, std::size_t first, Told told) {
    with_table(problem, grid, end, [&](auto table) {
        table.value(first, [&](std::size_t t, auto cost) {
            if (!table.is_none(cost)) told(t, static_cast<Wide>(cost));
        });
        return 0;
    });
}

std::optional<GridPlan> plan_to(const Problem& problem, const Grid& grid, const End& end) {
    return with_table(problem, grid, end, [](auto table) { return table.plan(); });
}

}  // namespace

std::optional<GridPlan> best_plan_by_table(const Problem& problem, const Grid& grid) {
    return plan_to(problem, grid, {.first = grid.need, .last = grid.limit});
}

std::optional<GridPlan> least_short_by_table(const Problem& problem, const Grid& grid) {
    Grid free = grid;
    free.start = 0;
    for (GridSlot& slot : free.slots) slot.cost = 0;
    const auto most = plan_to(problem, free, {.first = 0, .last = grid.need, .of_lacking = 1});
    if (!most) return std::nullopt;
    const std::int64_t reached = grid.need - static_cast<std::int64_t>(most->cost);
    return plan_to(problem, grid, {.first = reached, .last = reached});
}

std::vector<PlugIn> value_by_table(const Problem& problem, const Grid& grid) {
    const std::size_t count = grid.slots.size();
    // The most a plan may bring goes by the longest slot that is left.
    const Wide a_minute =
        problem.least.count() * thirds_per_ampere_minute(problem) - thirds_of_overhead(problem);
    std::vector<std::int64_t> limits(count);
    for (std::size_t t = 0; t < count; ++t) {
        limits[t] =
            grid.need + static_cast<std::int64_t>(longest_slot(problem, t) * a_minute / grid.unit_thirds) - 1;
    }
    std::vector<std::optional<Wide>> costs(count);
    for (std::size_t last = count; last > 0;) {
        const std::int64_t limit = limits[last - 1];
        std::size_t first = last - 1;
        while (first > 0 && limits[first - 1] == limit) --first;
        tell_values(problem, grid, {.first = grid.need, .last = limit}, first, [&](std::size_t t, Wide cost) {
            if (t < last) costs[t] = cost;
        });
        last = first;
    }
    std::vector<PlugIn> found(count);
    for (std::size_t t = 0; t < count; ++t) found[t].cost = costs[t].value_or(0);

    // Those that cannot bring the need: what they lack counts above any sum of costs.
    const auto lacking = std::ranges::find_if(costs, [](const auto& cost) { return !cost; });
    if (lacking == costs.end()) return found;
    const auto first = static_cast<std::size_t>(lacking - costs.begin());
    const Wide of_lacking = 2 * greatest_sum(grid) + 2;
    tell_values(problem, grid, {.first = 0, .last = grid.need, .of_lacking = of_lacking, .plugged_in = first},
                first, [&](std::size_t t, Wide cost) {
                    if (costs[t]) return;
                    found[t].lacking =
                        static_cast<std::int64_t>(floor_quotient(cost + of_lacking / 2, of_lacking));
                    found[t].cost = cost - found[t].lacking * of_lacking;
                });
    return found;
}

}  // namespace lullwatt::plan
