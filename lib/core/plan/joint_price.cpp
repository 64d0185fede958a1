#include "core/plan/joint_price.hpp"

#include <algorithm>

#include "core/plan/programme.hpp"

namespace lullwatt::plan {

namespace {

void narrow(GridSlot& slot, int room) {
    slot.hi = std::min(slot.hi, room);
    if (slot.hi == slot.missing) --slot.hi;
    if (slot.hi < slot.missing) slot.missing = 0;
    if (slot.hi < slot.lo) slot.lo = slot.hi = 0;
}

}  // namespace

Grid car_alone(const JointGrid& grid, std::size_t car, std::int64_t target, const std::vector<int>& room,
               const std::vector<Wide>& surcharge) {
    Grid alone;
    alone.slots = grid.cars[car].slots;
    alone.need = target;
    alone.limit = most_energy(grid, car);
    alone.start = grid.cars[car].start;
    alone.per_start = grid.per_start;
    alone.per_money = grid.per_money;
    alone.thirds_per_money = grid.thirds_per_money;
    for (std::size_t t = 0; t < alone.slots.size(); ++t) {
        GridSlot& slot = alone.slots[t];
        narrow(slot, room[t]);
        if (!surcharge.empty()) slot.cost += surcharge[t];
    }
    return alone;
}

std::optional<Priced> best_response(const JointGrid& grid, std::size_t car, std::int64_t target,
                                    const std::vector<int>& room, const std::vector<Wide>& surcharge,
                                    Work& work) {
    if (target == 0) {
        const Priced off{std::vector<int>(grid.slots()), 0};
        if (grid.cars[car].need == 0) return off;
        auto some = best_response(grid, car, 1, room, surcharge, work);
        return some && some->cost < 0 ? some : off;
    }
    const Grid alone = car_alone(grid, car, target, room, surcharge);
    std::int64_t fits = 0;
    for (const GridSlot& slot : alone.slots) {
        if (slot.hi == 0 && !slot.may_rest) return std::nullopt;
        fits += std::int64_t{slot.hi} * slot.weight;
    }
    if (fits < target) return std::nullopt;
    work.count();
    GridPlan best = best_plan(alone);
    return Priced{std::move(best.amps), best.cost};
}

std::int64_t carried(const JointGrid& grid, std::size_t car, const std::vector<int>& room) {
    std::int64_t units = 0;
    for (std::size_t t = 0; t < room.size(); ++t) {
        GridSlot slot = grid.cars[car].slots[t];
        narrow(slot, room[t]);
        units += std::int64_t{slot.hi} * slot.weight;
    }
    return units;
}

std::vector<int> room_beside(const JointGrid& grid, std::size_t car, const JointAmps& amps) {
    std::vector<int> room(grid.slots());
    for (std::size_t t = 0; t < room.size(); ++t) room[t] = grid.cars[car].slots[t].hi;
    for (const std::size_t r : grid.cars[car].rows) {
        const JointGrid::Row& row = grid.rows[r];
        for (std::size_t t = 0; t < room.size(); ++t) {
            if (!row.binds[t]) continue;
            int left = row.capacity[t];
            for (const std::size_t other : row.cars) left -= other == car ? 0 : amps[other][t];
            room[t] = std::min(room[t], left);
        }
    }
    return room;
}

}  // namespace lullwatt::plan
