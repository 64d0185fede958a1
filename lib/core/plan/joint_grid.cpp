#include "core/plan/joint_grid.hpp"

#include <algorithm>
#include <numeric>

#include "core/plan/exact.hpp"
#include "core/plan/joint_floor.hpp"

namespace lullwatt::plan {
namespace {

Wide common_divisor(Wide a, Wide b) {
    if (a < 0) a = -a;
    if (b < 0) b = -b;
    while (b != 0) {
        const Wide rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

// What one ampere brings in a unit of time, in thirds of a milliwatt-hour.
Wide unit_thirds(const JointCar& car, std::int64_t minutes_per_unit) {
    return Wide{50} * std::llround(car.per_ampere.count()) * minutes_per_unit;
}

bool includes(const std::vector<std::size_t>& outer, const std::vector<std::size_t>& inner) {
    return std::ranges::all_of(inner,
                               [&](std::size_t car) { return std::ranges::find(outer, car) != outer.end(); });
}

bool disjoint(const std::vector<std::size_t>& a, const std::vector<std::size_t>& b) {
    return std::ranges::none_of(a, [&](std::size_t car) { return std::ranges::find(b, car) != b.end(); });
}

std::vector<JointGrid::Row> sorted_rows(const JointProblem& problem) {
    std::vector<JointGrid::Row> rows;
    for (const SharedRow& row : problem.rows) {
        JointGrid::Row out;
        out.cars = row.cars;
        std::ranges::sort(out.cars);
        for (const WholeAmps amps : row.capacity) out.capacity.push_back(std::max(0, amps.count()));
        const auto same =
            std::ranges::find_if(rows, [&](const JointGrid::Row& r) { return r.cars == out.cars; });
        if (same == rows.end()) {
            rows.push_back(std::move(out));
            continue;
        }
        for (std::size_t t = 0; t < out.capacity.size(); ++t)
            same->capacity[t] = std::min(same->capacity[t], out.capacity[t]);
    }
    return rows;
}

void keep_binding_rows(JointGrid& grid, std::vector<JointGrid::Row> rows) {
    for (JointGrid::Row& row : rows) {
        row.binds.assign(grid.slots(), false);
        bool any = false;
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            int sum = 0;
            for (const std::size_t car : row.cars) sum += grid.cars[car].slots[t].hi;
            row.binds[t] = row.cars.size() > 1 && sum > row.capacity[t];
            any = any || row.binds[t];
        }
        if (!any) continue;
        for (const std::size_t car : row.cars) grid.cars[car].rows.push_back(grid.rows.size());
        grid.rows.push_back(std::move(row));
    }
    for (std::size_t a = 0; a < grid.rows.size(); ++a) {
        for (std::size_t b = 0; b < a; ++b) {
            const auto& one = grid.rows[a].cars;
            const auto& other = grid.rows[b].cars;
            if (!disjoint(one, other) && !includes(one, other) && !includes(other, one)) grid.laminar = false;
        }
    }
}

void set_needs(JointGrid& grid, const JointProblem& problem) {
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        JointGrid::Car& car = grid.cars[i];
        const Wide unit = unit_thirds(problem.cars[i], grid.minutes_per_unit);
        car.unit_thirds = unit;
        car.need_thirds = std::max<Wide>(0, thirds(problem.cars[i].need));
        car.need = std::max<std::int64_t>(
            0, static_cast<std::int64_t>(-floor_quotient(-thirds(problem.cars[i].need), unit)));
        std::int64_t longest = 0;  // a slot's least
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            if (car.slots[t].hi == 0) continue;
            longest = std::max(longest, std::int64_t{car.slots[t].lo} * grid.weight[t]);
            car.most += std::int64_t{car.slots[t].hi} * grid.weight[t];
        }
        car.slack = std::max<std::int64_t>(0, longest - 1);
    }
}

void set_costs(JointGrid& grid, const JointProblem& problem) {
    Wide step = 0;
    Wide preferences = 1;
    Wide starts = 1;
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        const JointCar& car = problem.cars[i];
        step = common_divisor(step, start_thirds(car.start_cost));
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            if (grid.cars[i].slots[t].hi > 0)
                step = common_divisor(step,
                                      unit_thirds(car, grid.minutes_per_unit) * car.slots[t].price.count());
        }
        preferences += Wide{grid.cars[i].need + grid.cars[i].slack} * static_cast<Wide>(grid.slots());
        starts += static_cast<Wide>(grid.slots() / 2 + 1);
    }
    grid.thirds_per_money = std::max<Wide>(step, 1);
    grid.per_start = preferences;
    grid.per_money = grid.per_start * starts;
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        const JointCar& car = problem.cars[i];
        const Wide unit = unit_thirds(car, grid.minutes_per_unit);
        grid.cars[i].start =
            start_thirds(car.start_cost) / grid.thirds_per_money * grid.per_money + grid.per_start;
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            const auto position = car.preference == Preference::late ? grid.slots() - 1 - t : t;
            GridSlot& slot = grid.cars[i].slots[t];
            if (slot.hi > 0)
                slot.cost = unit * car.slots[t].price.count() / grid.thirds_per_money * grid.per_money +
                            static_cast<Wide>(position);
        }
    }
}

}  // namespace

Wide JointGrid::money(Wide cost) const { return floor_quotient(cost, per_money); }

JointGrid make_joint_grid(const JointProblem& problem) {
    JointGrid grid;
    const std::size_t count = problem.slots.size();
    std::vector<JointGrid::Row> rows = sorted_rows(problem);
    const auto minutes = [&](std::size_t t) { return problem.slots[t].length().count() / 60; };
    std::int64_t unit = 0;
    std::int64_t longest = 0;
    grid.cars.resize(problem.cars.size());
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        const JointCar& car = problem.cars[i];
        grid.cars[i].slots.resize(count);
        for (std::size_t t = 0; t < count; ++t) {
            int most = car.need > MilliwattHours{} && minutes(t) > 0 ? car.slots[t].most.count() : 0;
            for (const JointGrid::Row& row : rows) {
                if (std::ranges::binary_search(row.cars, i)) most = std::min(most, row.capacity[t]);
            }
            const int missing = car.missing.count();
            if (most == missing) --most;
            const int least = car.least.count() + (car.least == car.missing ? 1 : 0);
            if (most < least || most <= 0) continue;
            grid.cars[i].slots[t] = {.lo = least, .hi = most};
            if (least < missing && missing < most) grid.cars[i].slots[t].missing = missing;
            unit = std::gcd(unit, minutes(t));
            longest = std::max(longest, minutes(t));
        }
    }
    grid.minutes_per_unit = std::max<std::int64_t>(unit, 1);
    grid.laminar = unit == longest;  // equal lengths; rows are judged below
    grid.weight.resize(count);
    for (std::size_t t = 0; t < count; ++t) {
        grid.weight[t] = static_cast<int>(minutes(t) / grid.minutes_per_unit);
        for (JointGrid::Car& car : grid.cars) car.slots[t].weight = grid.weight[t];
    }
    keep_binding_rows(grid, std::move(rows));
    set_needs(grid, problem);
    set_costs(grid, problem);
    force_floors(grid, problem);
    return grid;
}

std::int64_t most_energy(const JointGrid& grid, std::size_t car) {
    return grid.cars[car].need == 0 ? 0 : grid.cars[car].need + grid.cars[car].slack;
}

std::int64_t energy(const JointGrid& grid, const std::vector<int>& amps) {
    std::int64_t sum = 0;
    for (std::size_t t = 0; t < amps.size(); ++t) sum += std::int64_t{amps[t]} * grid.weight[t];
    return sum;
}

Wide cost(const JointGrid& grid, std::size_t car, const std::vector<int>& amps) {
    Wide sum = 0;
    bool on = false;
    for (std::size_t t = 0; t < amps.size(); ++t) {
        sum += grid.cars[car].slots[t].cost * amps[t] * grid.weight[t];
        if (amps[t] > 0 && !on) sum += grid.cars[car].start;
        on = amps[t] > 0;
    }
    return sum;
}

Wide cost(const JointGrid& grid, const JointAmps& amps) {
    Wide sum = 0;
    for (std::size_t i = 0; i < amps.size(); ++i) sum += cost(grid, i, amps[i]);
    return sum;
}

JointAmps forced_only(const JointGrid& grid) {
    JointAmps amps(grid.cars.size(), std::vector<int>(grid.slots()));
    for (std::size_t i = 0; i < amps.size(); ++i) {
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            const GridSlot& slot = grid.cars[i].slots[t];
            if (!slot.may_rest) amps[i][t] = slot.lo;
        }
    }
    return amps;
}

bool allows(const GridSlot& slot, int amps) {
    if (amps == 0) return slot.may_rest;
    return amps >= slot.lo && amps <= slot.hi && amps != slot.missing;
}

bool feasible(const JointGrid& grid, const std::vector<std::int64_t>& targets, const JointAmps& amps) {
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        const JointGrid::Car& car = grid.cars[i];
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            const int current = amps[i][t];
            if (!allows(car.slots[t], current)) return false;
        }
        const std::int64_t in = energy(grid, amps[i]);
        if (in < targets[i] || in > most_energy(grid, i)) return false;
    }
    return std::ranges::all_of(grid.rows, [&](const JointGrid::Row& row) {
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            int sum = 0;
            for (const std::size_t car : row.cars) sum += amps[car][t];
            if (sum > row.capacity[t]) return false;
        }
        return true;
    });
}

}  // namespace lullwatt::plan
