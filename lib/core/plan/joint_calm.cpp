#include "core/plan/joint_calm.hpp"

#include <algorithm>
#include <map>
#include <utility>
#include <vector>

namespace lullwatt::plan {
namespace {

// What a slot is to the cars and rows; its place in the night aside.
using Kind = std::vector<Wide>;

Kind kind_of(const JointProblem& problem, const JointGrid& grid, std::size_t slot) {
    Kind kind{grid.weight[slot]};
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        const GridSlot& limits = grid.cars[i].slots[slot];
        kind.insert(kind.end(), {Wide{limits.lo}, Wide{limits.hi}, Wide{limits.missing},
                                 Wide{limits.may_rest}, Wide{problem.cars[i].slots[slot].price.count()}});
    }
    for (const JointGrid::Row& row : grid.rows) kind.emplace_back(row.capacity[slot]);
    return kind;
}

int changes(const JointAmps& amps) {
    int sum = 0;
    for (const std::vector<int>& car : amps) {
        for (std::size_t t = 1; t < car.size(); ++t) sum += car[t] != car[t - 1] ? 1 : 0;
    }
    return sum;
}

// The currents of all cars in a slot, their sum before them.
using Column = std::vector<int>;

Column column_of(const JointAmps& amps, std::size_t slot) {
    Column column{0};
    for (const std::vector<int>& car : amps) {
        column.front() += car[slot];
        column.push_back(car[slot]);
    }
    return column;
}

// The more in all, or the less, first; among equal ones the first car's greatest current, or least, first.
struct Order {
    bool most_first = true;
    bool first_car_first = true;
    bool operator()(const Column& a, const Column& b) const {
        if (a.front() != b.front()) return (a.front() > b.front()) == most_first;
        return first_car_first ? a > b : a < b;
    }
};

}  // namespace

void calm(const JointProblem& problem, const JointGrid& grid, JointAmps& amps) {
    std::map<Kind, std::vector<std::size_t>> kinds;
    for (std::size_t t = 0; t < grid.slots(); ++t) kinds[kind_of(problem, grid, t)].push_back(t);
    std::vector<std::vector<std::size_t>> groups;
    for (auto& [kind, slots] : kinds) {
        if (slots.size() > 1) groups.push_back(std::move(slots));
    }
    std::ranges::sort(groups);
    Wide best_cost = cost(grid, amps);
    int best_changes = changes(amps);
    for (const std::vector<std::size_t>& slots : groups) {
        std::vector<Column> columns;
        for (const std::size_t slot : slots) columns.push_back(column_of(amps, slot));
        for (const Order order :
             {Order{true, true}, Order{true, false}, Order{false, true}, Order{false, false}}) {
            std::ranges::stable_sort(columns, order);
            JointAmps tried = amps;
            for (std::size_t i = 0; i < slots.size(); ++i) {
                for (std::size_t car = 0; car < tried.size(); ++car)
                    tried[car][slots[i]] = columns[i][car + 1];
            }
            const Wide tried_cost = cost(grid, tried);
            const int tried_changes = changes(tried);
            if (tried_cost > best_cost || tried_changes >= best_changes) continue;
            best_cost = tried_cost;
            best_changes = tried_changes;
            amps = std::move(tried);
        }
    }
}

}  // namespace lullwatt::plan
