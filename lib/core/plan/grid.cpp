#include "core/plan/grid.hpp"

#include <algorithm>
#include <cassert>
#include <numeric>

#include "core/plan/exact.hpp"

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

Wide ceiling_quotient(Wide value, Wide divisor) { return -floor_quotient(-value, divisor); }

}  // namespace

Wide Grid::money_and_starts(Wide cost) const { return floor_quotient(cost, per_start); }
Wide Grid::money_thirds(Wide cost) const { return floor_quotient(cost, per_money) * thirds_per_money; }

FloorSlots floor_slots(const Problem& problem, std::size_t first) {
    FloorSlots floor;
    Wide missing = thirds(problem.floor);
    for (std::size_t t = first; missing > 0; ++t) {
        assert(t < problem.slots.size());
        const Slot& slot = problem.slots[t];
        if (!usable(problem, slot)) continue;
        const Wide per_ampere = Wide{minutes(slot)} * thirds_per_ampere_minute(problem);
        const auto reach =
            static_cast<int>(std::min<Wide>(ceiling_quotient(missing, per_ampere), slot.most.count() + 1));
        if (reach <= slot.most.count()) {
            floor = {.full = t, .reach = std::max(problem.least, WholeAmps(reach))};
            if (floor.reach == problem.missing) floor.reach = floor.reach + WholeAmps(1);
            break;
        }
        missing -= per_ampere * slot.most.count();
    }
    return floor;
}

FloorSlots reachable_floor(const Problem& problem) {
    Wide carried = 0;
    for (const Slot& slot : problem.slots) {
        if (usable(problem, slot))
            carried += Wide{minutes(slot)} * thirds_per_ampere_minute(problem) * slot.most.count();
    }
    return carried < thirds(problem.floor) ? FloorSlots{} : floor_slots(problem);
}

Grid make_grid(const Problem& problem, WholeAmps cap) {
    const auto count = problem.slots.size();
    std::int64_t length = 0;
    std::int64_t longest = 0;
    for (const Slot& slot : problem.slots) {
        if (!usable(problem, slot)) continue;
        length = std::gcd(length, minutes(slot));
        longest = std::max(longest, minutes(slot));
    }
    assert(length > 0);
    const Wide unit = static_cast<Wide>(length) * thirds_per_ampere_minute(problem);
    const Wide start = start_thirds(problem.start_cost);

    Grid grid;
    grid.unit_thirds = unit;
    grid.minutes_per_unit = length;
    grid.need = static_cast<std::int64_t>(ceiling_quotient(thirds(problem.need), unit));
    grid.limit = grid.need + longest / length * problem.least.count() - 1;
    grid.thirds_per_money = start;
    for (const Slot& slot : problem.slots) {
        if (usable(problem, slot))
            grid.thirds_per_money = common_divisor(grid.thirds_per_money, unit * slot.price.count());
    }
    grid.thirds_per_money = std::max<Wide>(grid.thirds_per_money, 1);
    grid.per_start = static_cast<Wide>(grid.limit) * static_cast<Wide>(count) + 1;
    grid.per_money = grid.per_start * static_cast<Wide>(count / 2 + 2);
    grid.start = start / grid.thirds_per_money * grid.per_money + grid.per_start;

    const FloorSlots floor = reachable_floor(problem);
    grid.slots.resize(count);
    for (std::size_t t = 0; t < count; ++t) {
        const Slot& slot = problem.slots[t];
        if (!usable(problem, slot)) continue;
        GridSlot& out = grid.slots[t];
        out.lo = problem.least.count();
        out.hi = at_most(problem, std::min(slot.most, std::max(cap, problem.least))).count();
        out.weight = static_cast<int>(minutes(slot) / length);
        const auto position = problem.preference == Preference::late ? count - 1 - t : t;
        out.cost =
            unit * slot.price.count() / grid.thirds_per_money * grid.per_money + static_cast<Wide>(position);
        if (floor.holds(t)) {
            out.may_rest = false;
            out.lo = (t < floor.full ? slot.most : floor.reach).count();
            out.hi = std::max(out.lo, out.hi);
        }
        const int missing = problem.missing.count();
        if (out.lo < missing && missing < out.hi) out.missing = missing;
    }
    return grid;
}

}  // namespace lullwatt::plan
