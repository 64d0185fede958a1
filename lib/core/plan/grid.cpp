#include "core/plan/grid.hpp"

#include <algorithm>
#include <cassert>
#include <cstdlib>
#include <numeric>

#include "core/plan/charging.hpp"

namespace lullwatt::plan {
namespace {

Wide common_divisor(Wide a, Wide b) {
    if (a < 0) a = -a;
    while (b != 0) {
        const Wide rest = a % b;
        a = b < 0 ? -b : b;
        b = rest < 0 ? -rest : rest;
    }
    return a;
}

bool chooses(const GridSlot& slot) { return slot.hi > slot.lo || (slot.hi > 0 && slot.may_rest); }

// Whether the sums along a plan are far from the widest number there is, if a step of money is `per_money`
// and `per_start` goes into it. Near enough in floating point: the margin is a factor of thirty.
bool fits(const Problem& problem, const Grid& grid, Wide unit, Wide per_start, Wide most_units, bool capped) {
    constexpr double kWidest = 0x1p118;
    const auto as_double = [](Wide value) { return static_cast<double>(value); };
    const auto count = static_cast<double>(problem.slots.size());
    std::int64_t dearest = 0;
    std::int64_t most = 0;  // ampere-minutes of a slot
    for (const Slot& slot : problem.slots) {
        if (!usable(problem, slot)) continue;
        dearest = std::max(dearest, std::abs(slot.price.count()));
        most = std::max(most, slot.most.count() * minutes(slot));
    }
    const double a_unit = as_double(unit);
    const double steps = as_double(grid.thirds_per_money);
    const double units = as_double(most_units) + static_cast<double>(most) *
                                                     static_cast<double>(thirds_per_ampere_minute(problem)) /
                                                     a_unit;
    const double unit_cost = a_unit * static_cast<double>(dearest) / steps + 1;
    const double start = as_double(start_thirds(problem.start_cost)) / steps + 1;
    const double all = (unit_cost * units + start * count) * as_double(per_start) * (count / 2 + 2);
    return all * (capped ? 2 * (units + 1) : 1) < kWidest;
}

// A unit in a slot above the price cap costs more than all else can.
void charge_above_cap(const Problem& problem, Grid& grid, Wide most_units) {
    Wide dearest = 0;
    bool any = false;
    for (std::size_t t = 0; t < grid.slots.size(); ++t) {
        const Wide cost = grid.slots[t].cost;
        dearest = std::max(dearest, cost < 0 ? -cost : cost);
        any |= dearer_than_cap(problem, problem.slots[t]) && chooses(grid.slots[t]);
    }
    if (!any) return;
    grid.per_above =
        2 * (dearest * most_units + grid.start * static_cast<Wide>(grid.slots.size() / 2 + 1)) + 2;
    for (std::size_t t = 0; t < grid.slots.size(); ++t) {
        if (dearer_than_cap(problem, problem.slots[t])) grid.slots[t].cost += grid.per_above;
    }
}

}  // namespace

Wide Grid::money_and_starts(Wide cost) const { return floor_quotient(cost, per_start); }
Wide Grid::money_thirds(Wide cost) const {
    return floor_quotient(within_cap(cost), per_money) * thirds_per_money;
}
// The rest of the cost is less than half of per_above, whatever its sign.
Wide Grid::units_above(Wide cost) const {
    return per_above == 0 ? 0 : floor_quotient(cost + per_above / 2, per_above);
}

FloorSlots floor_slots(const Problem& problem, std::size_t first) {
    const Wide floor = thirds(problem.floor);
    if (floor <= 0) return {};
    Wide net = 0;
    bool charged = false;  // since it was plugged in
    bool asleep = false;
    FloorSlots found;
    for (std::size_t t = first; t < problem.slots.size(); ++t) {
        const Slot& slot = problem.slots[t];
        const Intake most = usable(problem, slot) ? intake(problem, slot, slot.most, net) : Intake{};
        if (most.amps == WholeAmps(0)) {
            if (slot.bound.kind == BoundKind::away) charged = asleep = false;
            asleep |= charged && !problem.wakes;
            if (usable(problem, slot)) found.idle.push_back(t);
            continue;
        }
        if (asleep) break;  // no later run is at once
        if (net + most.net >= floor) {
            found.full = t;
            found.reach = problem.least;
            while (found.reach == problem.missing ||
                   intake(problem, slot, found.reach, net).net < floor - net)
                found.reach = found.reach + WholeAmps(1);
            return found;
        }
        charged = true;
        net += most.net;
    }
    return {};
}

std::int64_t longest_slot(const Problem& problem, std::size_t first) {
    std::int64_t longest = 0;
    for (std::size_t t = first; t < problem.slots.size(); ++t) {
        if (usable(problem, problem.slots[t])) longest = std::max(longest, minutes(problem.slots[t]));
    }
    return longest;
}

Grid make_grid(const Problem& problem, WholeAmps cap, AboveCap above_cap) {
    const auto count = problem.slots.size();
    std::int64_t length = 0;
    for (const Slot& slot : problem.slots) {
        if (usable(problem, slot)) length = std::gcd(length, minutes(slot));
    }
    assert(length > 0);
    const std::int64_t a_minute = thirds_of_a_minute(problem);
    const Wide unit = static_cast<Wide>(length) * a_minute;
    const std::int64_t per_ampere = thirds_per_ampere_minute(problem) / a_minute;
    const std::int64_t lost = thirds_of_overhead(problem) / a_minute;
    const std::int64_t longest = longest_slot(problem, 0);
    const Wide start = start_thirds(problem.start_cost);

    Grid grid;
    grid.unit_thirds = unit;
    grid.minutes_per_unit = length;
    grid.need = static_cast<std::int64_t>(ceiling_quotient(thirds(problem.need), unit));
    grid.limit = grid.need + longest / length * (problem.least.count() * per_ampere - lost) - 1;
    grid.thirds_per_money = start;
    for (const Slot& slot : problem.slots) {
        if (usable(problem, slot))
            grid.thirds_per_money = common_divisor(grid.thirds_per_money, unit * slot.price.count());
    }
    grid.thirds_per_money = std::max<Wide>(grid.thirds_per_money, 1);
    Wide most_units = grid.limit;
    for (const Slot& slot : problem.slots) most_units += Wide{minutes(slot) / length} * lost;
    const bool capped = problem.price_cap.has_value() && above_cap == AboveCap::allowed;
    grid.per_start = most_units * static_cast<Wide>(count) + 1;
    const bool prefers = fits(problem, grid, unit, grid.per_start, most_units, capped);
    if (!prefers) grid.per_start = 1;
    grid.per_money = grid.per_start * static_cast<Wide>(count / 2 + 2);
    grid.start = start / grid.thirds_per_money * grid.per_money + grid.per_start;

    const FloorSlots floor = floor_slots(problem);
    grid.slots.resize(count);
    for (std::size_t t = 0; t < count; ++t) {
        const Slot& slot = problem.slots[t];
        if (!usable(problem, slot)) continue;
        GridSlot& out = grid.slots[t];
        out.lo = problem.least.count();
        out.hi = at_most(problem, std::min(slot.most, std::max(cap, problem.least))).count();
        out.weight = static_cast<int>(minutes(slot) / length * per_ampere);
        out.lost = static_cast<int>(minutes(slot) / length * lost);
        out.grain = static_cast<int>(minutes(slot) / length);
        const auto position = !prefers ? 0 : problem.preference == Preference::late ? count - 1 - t : t;
        out.cost =
            unit * slot.price.count() / grid.thirds_per_money * grid.per_money + static_cast<Wide>(position);
        if (floor.holds(t)) {
            out.may_rest = false;
            out.lo = (t < floor.full ? slot.most : floor.reach).count();
            out.hi = std::max(out.lo, out.hi);
        }
        if (problem.forced == t) out.may_rest = false;
        if (above_cap == AboveCap::refused && dearer_than_cap(problem, slot))
            out.hi = out.may_rest ? 0 : out.lo;
        const int missing = problem.missing.count();
        if (out.lo < missing && missing < out.hi) out.missing = missing;
    }
    if (above_cap == AboveCap::allowed) charge_above_cap(problem, grid, most_units);
    return grid;
}

Grid without_preference(const Problem& problem, Grid grid) {
    Wide most_units = grid.limit;
    for (std::size_t t = 0; t < grid.slots.size(); ++t) {
        GridSlot& slot = grid.slots[t];
        most_units += slot.lost;
        const Wide above = dearer_than_cap(problem, problem.slots[t]) ? grid.per_above : 0;
        slot.cost = grid.money_and_starts(slot.cost - above);
    }
    grid.start = grid.money_and_starts(grid.start);
    grid.per_money /= grid.per_start;
    grid.per_start = 1;
    grid.per_above = 0;
    charge_above_cap(problem, grid, most_units);
    return grid;
}

Wide greatest_sum(const Grid& grid) {
    Wide dearest = 0;
    Wide units = grid.limit;
    for (const GridSlot& slot : grid.slots) {
        dearest = std::max(dearest, slot.cost < 0 ? -slot.cost : slot.cost);
        units += slot.lost;
    }
    Wide widest = 0;
    for (const GridSlot& slot : grid.slots) {
        widest = std::max(widest, static_cast<Wide>(slot.hi) * slot.weight);
    }
    return dearest * (units + widest) + grid.start * static_cast<Wide>(grid.slots.size() + 1);
}

}  // namespace lullwatt::plan
