#include "core/plan/joint_narrow.hpp"

#include <algorithm>

#include "core/plan/lagrangian.hpp"
#include "core/plan/tolls.hpp"

namespace lullwatt::plan {
namespace {

// The least regret of plans that reach each state before a slot; a plan's regret from there on can be 0.
struct Reached {
    Wide never = 0, off = kDead<Wide>, on = kDead<Wide>;
};

Wide sum(Wide a, Wide b) { return std::min(kDead<Wide>, a + b); }

void narrow(GridSlot& slot, const Tolls<Wide>& toll, Wide allowed, Wide charging) {
    const Wide left = allowed - charging;
    const int reach = toll.per_ampere == 0
                          ? toll.reach
                          : static_cast<int>(std::min<Wide>(toll.reach, left / toll.per_ampere));
    if (toll.toward < 0) {
        slot.lo = std::max(slot.lo, slot.hi - reach);
    } else {
        slot.hi = std::min(slot.hi, slot.lo + reach);
    }
    if (slot.lo == slot.missing) ++slot.lo;
    if (slot.hi == slot.missing) --slot.hi;
    if (slot.missing < slot.lo || slot.missing > slot.hi) slot.missing = 0;
}

// `allowed`: the most regret of this car that a cheaper plan can have.
void narrow_car(std::vector<GridSlot>& slots, const Grid& alone, Wide allowed) {
    const Dual dual = lagrangian_bound(alone);
    Reached at;
    for (std::size_t t = 0; t < slots.size(); ++t) {
        const Tolls<Wide> toll = tolls_of<Wide>(alone, dual, t, allowed);
        const Wide charging =
            std::min({sum(at.never, toll.start_first), sum(at.off, toll.start), sum(at.on, toll.carry_on)});
        const Wide resting =
            std::min({sum(at.never, toll.stay_never), sum(at.off, toll.stay_off), sum(at.on, toll.stop)});
        at = {sum(at.never, toll.stay_never), std::min(sum(at.off, toll.stay_off), sum(at.on, toll.stop)),
              charging};
        if (slots[t].hi == 0) continue;
        if (charging > allowed) {
            slots[t].lo = slots[t].hi = slots[t].missing = 0;
        } else {
            if (resting > allowed) slots[t].may_rest = false;
            narrow(slots[t], toll, allowed, charging);
        }
    }
}

}  // namespace

JointGrid narrowed(const JointGrid& grid, const std::vector<std::int64_t>& targets, const Ascent& ascent,
                   Wide cost) {
    JointGrid out = grid;
    const std::vector<Wide>& parts = ascent.parts();
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        if (targets[i] == 0) continue;
        std::vector<int> room;
        for (const GridSlot& slot : grid.cars[i].slots) room.push_back(slot.hi);
        const Grid alone = car_alone(grid, i, targets[i], room, ascent.surcharge(i, 1));
        // The others at their least; this car's own least is the bound of its multiplier, not its best plan.
        const Wide others = *ascent.bound() - parts[i];
        const Wide allowed = cost - 1 - others - lagrangian_bound(alone).bound;
        if (allowed >= 0) narrow_car(out.cars[i].slots, alone, allowed);
    }
    return out;
}

}  // namespace lullwatt::plan
