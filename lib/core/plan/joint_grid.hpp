// The joint problem in whole numbers: one unit of time, one number for money, starts and preference of all
// cars together, floors settled, rows that cannot bind left out.
//
// Values and pure functions; call from any thread.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/plan/grid.hpp"
#include "core/plan/joint_problem.hpp"

namespace lullwatt::plan {

// Amperes by car and slot.
using JointAmps = std::vector<std::vector<int>>;

struct JointGrid {
    struct Car {
        std::vector<GridSlot> slots;  // as in Grid; `hi` alone on the rows
        Wide start = 0;               // cost of one start
        std::int64_t need = 0;        // units
        Wide unit_thirds = 1;         // of a milliwatt-hour that one unit is
        Wide need_thirds = 0;         // of a milliwatt-hour
        std::int64_t floor = 0;       // units that forced slots carry at least
        std::int64_t most = 0;        // units that fit when the car is alone
        std::int64_t slack = 0;       // one slot's least − 1: what a plan may bring beyond the need
        std::vector<std::size_t> rows;
    };
    // Rows that could be exceeded somewhere.
    struct Row {
        std::vector<int> capacity;  // per slot
        std::vector<std::size_t> cars;
        std::vector<bool> binds;  // per slot: all its cars at once would exceed it
    };
    std::vector<Car> cars;
    std::vector<Row> rows;
    std::vector<int> weight;  // per slot: units that one ampere brings
    std::int64_t minutes_per_unit = 1;
    Wide per_start = 1;  // as in Grid
    Wide per_money = 1;
    Wide thirds_per_money = 1;  // of 1e-18 of the currency
    bool laminar = true;        // equal weights, and of two rows one holds the other or they share no car

    [[nodiscard]] std::size_t slots() const { return weight.size(); }
    // The least money, in steps, of plans whose one number is not below `cost`.
    [[nodiscard]] Wide money(Wide cost) const;
};

[[nodiscard]] JointGrid make_joint_grid(const JointProblem& problem);

// The most units a plan may bring: less than the need + one slot's least.
[[nodiscard]] std::int64_t most_energy(const JointGrid& grid, std::size_t car);

[[nodiscard]] std::int64_t energy(const JointGrid& grid, const std::vector<int>& amps);
[[nodiscard]] Wide cost(const JointGrid& grid, std::size_t car, const std::vector<int>& amps);
[[nodiscard]] Wide cost(const JointGrid& grid, const JointAmps& amps);

// The least of the slots that floors force, nothing else.
[[nodiscard]] JointAmps forced_only(const JointGrid& grid);

// Off, or one of the currents the slot can carry.
[[nodiscard]] bool allows(const GridSlot& slot, int amps);

// Every current 0 or within its limits, every row within its capacity, every energy in its window.
[[nodiscard]] bool feasible(const JointGrid& grid, const std::vector<std::int64_t>& targets,
                            const JointAmps& amps);

}  // namespace lullwatt::plan
