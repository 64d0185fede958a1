#include "core/plan/budget.hpp"

#include <algorithm>
#include <array>
#include <cassert>

namespace lullwatt::plan {
namespace {

enum Mode : std::size_t { off, on };
constexpr std::array kModes = {off, on};

// Slots that share a budget; a slot without one is a group of itself.
std::vector<Budget> groups_of(const Grid& grid, const std::vector<Budget>& budgets) {
    std::vector<Budget> groups;
    auto budget = budgets.begin();
    for (std::size_t t = 0; t < grid.slots.size();) {
        const bool shared = budget != budgets.end() && budget->first == t;
        Budget group = shared ? *budget++ : Budget{t, t + 1, grid.limit};
        std::int64_t carried = 0;
        for (std::size_t s = group.first; s < group.last; ++s)
            carried += std::int64_t{grid.slots[s].hi} * grid.slots[s].weight;
        group.units = std::min({group.units, carried, grid.limit});
        groups.push_back(group);
        t = group.last;
    }
    return groups;
}

template <class Cost>
class Grouped {
  public:
    Grouped(const Grid& grid, const std::vector<Budget>& budgets)
        : grid_(grid), groups_(groups_of(grid, budgets)) {}

    std::optional<GridPlan> plan();

  private:
    static constexpr Cost kNone = static_cast<Cost>(Wide{1} << (sizeof(Cost) == sizeof(Wide) ? 125 : 61));
    static constexpr bool is_none(Cost cost) { return cost > kNone / 2; }

    using ByUnits = std::vector<Cost>;
    using ByMode = std::array<ByUnits, 2>;  // the least cost by mode and units
    struct Row {
        std::int64_t first = 0;
        ByMode of;
    };

    // The least cost of one slot more, by what a group's slots until then took.
    [[nodiscard]] ByMode behind(std::size_t slot, const ByMode& before) const;
    // From `mode` at a group's begin to each mode and number of units at its end.
    [[nodiscard]] ByMode moves(const Budget& group, Mode mode) const;
    [[nodiscard]] Row before(std::size_t group, const Row& next) const;
    void trace(const Budget& group, Mode from, Mode to, std::int64_t units, std::vector<int>& amps) const;
    [[nodiscard]] static ByMode at_begin(std::int64_t units, Mode mode) {
        ByMode begin;
        for (ByUnits& costs : begin) costs.assign(static_cast<std::size_t>(units + 1), kNone);
        begin[mode][0] = Cost{0};
        return begin;
    }
    [[nodiscard]] Cost of_current(const GridSlot& slot, int amps) const {
        return static_cast<Cost>(slot.cost * slot.weight * amps);
    }
    [[nodiscard]] Cost start() const { return static_cast<Cost>(grid_.start); }

    const Grid& grid_;
    std::vector<Budget> groups_;
    std::vector<std::int64_t> lowest_, highest_;  // units before each group that can matter
};

template <class Cost>
typename Grouped<Cost>::ByMode Grouped<Cost>::behind(std::size_t t, const ByMode& before) const {
    const GridSlot& slot = grid_.slots[t];
    const std::size_t count = before[off].size();
    ByMode after;
    for (ByUnits& costs : after) costs.assign(count, kNone);
    if (slot.may_rest) {
        for (std::size_t q = 0; q < count; ++q) after[off][q] = std::min(before[off][q], before[on][q]);
    }
    for (int amps = slot.lo; amps <= slot.hi; ++amps) {
        if (amps == 0 || (slot.missing > 0 && amps == slot.missing)) continue;
        const auto gain = static_cast<std::size_t>(amps) * static_cast<std::size_t>(slot.weight);
        const Cost cost = of_current(slot, amps);
        for (std::size_t q = 0; q + gain < count; ++q) {
            const Cost least = std::min(before[on][q], before[off][q] + start());
            if (!is_none(least)) after[on][q + gain] = std::min(after[on][q + gain], least + cost);
        }
    }
    return after;
}

template <class Cost>
typename Grouped<Cost>::ByMode Grouped<Cost>::moves(const Budget& group, Mode mode) const {
    ByMode costs = at_begin(group.units, mode);
    for (std::size_t t = group.first; t < group.last; ++t) costs = behind(t, costs);
    return costs;
}

template <class Cost>
typename Grouped<Cost>::Row Grouped<Cost>::before(std::size_t group, const Row& next) const {
    Row row{.first = lowest_[group], .of = {}};
    const std::int64_t width = std::max<std::int64_t>(highest_[group] - lowest_[group] + 1, 0);
    for (const Mode from : kModes) {
        row.of[from].assign(static_cast<std::size_t>(width), kNone);
        const ByMode ways = moves(groups_[group], from);
        for (const Mode to : kModes) {
            const ByUnits& ahead = next.of[to];
            for (std::int64_t gain = 0; gain < std::ssize(ways[to]); ++gain) {
                const Cost cost = ways[to][static_cast<std::size_t>(gain)];
                if (is_none(cost)) continue;
                const std::int64_t shift = row.first + gain - next.first;
                const std::int64_t begin = std::max<std::int64_t>(0, -shift);
                const std::int64_t end = std::min(width, std::ssize(ahead) - shift);
                Cost* const out = row.of[from].data();
                const Cost* const in = ahead.data() + shift;
                for (std::int64_t i = begin; i < end; ++i) out[i] = std::min(out[i], in[i] + cost);
            }
        }
        for (Cost& cost : row.of[from]) cost = std::min(cost, kNone);
    }
    return row;
}

// The currents of one group that take `units` and end in a mode, at least cost.
template <class Cost>
void Grouped<Cost>::trace(const Budget& group, Mode from, Mode to, std::int64_t units,
                          std::vector<int>& amps) const {
    std::vector<ByMode> rows{at_begin(units, from)};
    for (std::size_t t = group.first; t < group.last; ++t) rows.push_back(behind(t, rows.back()));
    auto left = static_cast<std::size_t>(units);
    Mode mode = to;
    for (std::size_t t = group.last; t-- > group.first;) {
        const GridSlot& slot = grid_.slots[t];
        const ByMode& earlier = rows[t - group.first];
        const Cost cost = rows[t - group.first + 1][mode][left];
        amps[t] = 0;
        if (mode == off) {
            mode = earlier[off][left] == cost ? off : on;
            continue;
        }
        for (int here = slot.lo; here <= slot.hi && amps[t] == 0; ++here) {
            const auto gain = static_cast<std::size_t>(here) * static_cast<std::size_t>(slot.weight);
            if (here == 0 || (slot.missing > 0 && here == slot.missing) || gain > left) continue;
            for (const Mode one : kModes) {
                const Cost least = earlier[one][left - gain] + (one == off ? start() : Cost{0});
                if (is_none(least) || least + of_current(slot, here) != cost) continue;
                amps[t] = here;
                left -= gain;
                mode = one;
                break;
            }
        }
        assert(amps[t] > 0);
    }
}

template <class Cost>
std::optional<GridPlan> Grouped<Cost>::plan() {
    const std::size_t count = groups_.size();
    lowest_.assign(count + 1, grid_.need);
    highest_.assign(count + 1, 0);
    for (std::size_t g = count; g-- > 0;)
        lowest_[g] = std::max<std::int64_t>(lowest_[g + 1] - groups_[g].units, 0);
    for (std::size_t g = 0; g < count; ++g)
        highest_[g + 1] = std::min(highest_[g] + groups_[g].units, grid_.limit);
    if (highest_[count] < grid_.need) return std::nullopt;
    std::vector<Row> rows(count + 1);
    rows[count].first = lowest_[count];
    for (ByUnits& costs : rows[count].of)
        costs.assign(static_cast<std::size_t>(highest_[count] - lowest_[count] + 1), Cost{0});
    for (std::size_t g = count; g-- > 0;) rows[g] = before(g, rows[g + 1]);
    const auto at = [](const Row& row, Mode mode, std::int64_t units) {
        const std::int64_t i = units - row.first;
        return i < 0 || i >= std::ssize(row.of[mode]) ? kNone : row.of[mode][static_cast<std::size_t>(i)];
    };
    const Cost least = at(rows[0], off, 0);
    if (is_none(least)) return std::nullopt;
    GridPlan found{.amps = std::vector<int>(grid_.slots.size()), .cost = static_cast<Wide>(least)};
    Mode mode = off;
    std::int64_t units = 0;
    for (std::size_t g = 0; g < count; ++g) {
        const Cost cost = at(rows[g], mode, units);
        const ByMode ways = moves(groups_[g], mode);
        bool moved = false;
        for (const Mode to : kModes) {
            for (std::int64_t gain = 0; gain < std::ssize(ways[to]) && !moved; ++gain) {
                const Cost way = ways[to][static_cast<std::size_t>(gain)];
                const Cost ahead = at(rows[g + 1], to, units + gain);
                if (is_none(way) || is_none(ahead) || way + ahead != cost) continue;
                trace(groups_[g], mode, to, gain, found.amps);
                mode = to;
                units += gain;
                moved = true;
            }
            if (moved) break;
        }
        assert(moved);
    }
    return found;
}

}  // namespace

std::optional<GridPlan> best_plan_within(const Grid& grid, const std::vector<Budget>& budgets) {
    const Wide sum = greatest_sum(grid);
    assert(sum < Wide{1} << 123);
    if (sum < Wide{1} << 51) return Grouped<double>(grid, budgets).plan();
    return Grouped<Wide>(grid, budgets).plan();
}

std::optional<Wide> bound_within(const Grid& grid, const std::vector<Budget>& budgets) {
    struct Supply {
        Wide cost = 0;
        std::int64_t units = 0;
        std::size_t budget = 0;
    };
    std::vector<std::int64_t> left{grid.need};  // of what no budget limits, then by budget
    for (const Budget& budget : budgets) left.push_back(budget.units);
    std::vector<Supply> supplies;
    std::int64_t lost = 0;
    std::size_t next = 0;
    for (std::size_t t = 0; t < grid.slots.size(); ++t) {
        while (next < budgets.size() && budgets[next].last <= t) ++next;
        const bool shared = next < budgets.size() && budgets[next].first <= t;
        const GridSlot& slot = grid.slots[t];
        supplies.push_back({slot.cost, std::int64_t{slot.hi} * slot.weight, shared ? next + 1 : 0});
        lost += slot.lost;
        if (!shared) left[0] += supplies.back().units;
    }
    std::ranges::sort(supplies, {}, &Supply::cost);
    std::int64_t needed = grid.need;
    std::int64_t wanted = grid.limit + lost;  // what costs less than nothing is taken beyond the need
    Wide sum = grid.start;
    for (const Supply& supply : supplies) {
        if (needed <= 0 && supply.cost >= 0) break;
        std::int64_t& room = left[supply.budget];
        const std::int64_t units = std::min({supply.units, room, supply.cost < 0 ? wanted : needed});
        room -= units;
        needed -= units;
        wanted -= units;
        sum += supply.cost * units;
    }
    if (needed > 0) return std::nullopt;
    return sum;
}

Effort effort_within(const Grid& grid, const std::vector<Budget>& budgets) {
    Effort effort;
    for (const Budget& group : groups_of(grid, budgets)) {
        effort.steps += 4.0 * static_cast<double>(group.units + 1) * static_cast<double>(grid.limit + 1);
        effort.kept += 2.0 * static_cast<double>(grid.limit + 1);
    }
    return effort;
}

}  // namespace lullwatt::plan
