#include "core/plan/joint_floor.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/plan/exact.hpp"

namespace lullwatt::plan {
namespace {

struct Claim {
    std::size_t car;
    std::int64_t floor;    // units
    std::int64_t missing;  // units
};

bool before(const JointProblem& problem, const Claim& a, const Claim& b) {
    const Wide one = Wide{a.missing} * b.floor;
    const Wide other = Wide{b.missing} * a.floor;
    return one != other ? one > other : problem.cars[a.car].name < problem.cars[b.car].name;
}

// What the rows leave a car in a slot beside what is dealt already.
int room(const JointGrid& grid, std::size_t car, std::size_t t, const std::vector<int>& dealt) {
    int left = std::numeric_limits<int>::max();
    for (const std::size_t r : grid.cars[car].rows) {
        int taken = 0;
        for (const std::size_t other : grid.rows[r].cars) taken += dealt[other];
        left = std::min(left, grid.rows[r].capacity[t] - taken);
    }
    return left;
}

std::int64_t ceiling(std::int64_t value, std::int64_t divisor) { return (value + divisor - 1) / divisor; }

void deal_slot(JointGrid& grid, const JointProblem& problem, std::vector<Claim>& claims, std::size_t t) {
    std::vector<int> dealt(grid.cars.size());
    const auto wanted = [&](const Claim& claim) {  // amperes that end the floor here, or all the car takes
        const GridSlot& slot = grid.cars[claim.car].slots[t];
        const auto amps = static_cast<int>(std::min<std::int64_t>(
            slot.hi, std::max<std::int64_t>(slot.lo, ceiling(claim.missing, slot.weight))));
        return amps > 0 && amps == slot.missing ? amps + 1 : amps;
    };
    // One ampere more, or two past the current that does not exist.
    const auto stride = [&](const Claim& claim) {
        const int missing = grid.cars[claim.car].slots[t].missing;
        return missing > 0 && dealt[claim.car] + 1 == missing ? 2 : 1;
    };
    const auto order = [&](const Claim& a, const Claim& b) { return before(problem, a, b); };
    std::ranges::sort(claims, order);
    std::vector<Claim> taking;
    for (const Claim& claim : claims) {
        const GridSlot& slot = grid.cars[claim.car].slots[t];
        if (slot.hi == 0 || room(grid, claim.car, t, dealt) < slot.lo) continue;
        dealt[claim.car] = slot.lo;
        taking.push_back(claim);
        taking.back().missing -= std::int64_t{slot.lo} * slot.weight;
    }
    for (;;) {
        std::ranges::sort(taking, order);
        const auto next = std::ranges::find_if(taking, [&](const Claim& claim) {
            const Claim& whole = *std::ranges::find(claims, claim.car, &Claim::car);
            return dealt[claim.car] < wanted(whole) && room(grid, claim.car, t, dealt) >= stride(claim);
        });
        if (next == taking.end()) break;
        const int more = stride(*next);
        dealt[next->car] += more;
        next->missing -= std::int64_t{more} * grid.weight[t];
    }
    for (Claim& claim : claims) {
        const int amps = dealt[claim.car];
        if (amps == 0) continue;
        GridSlot& slot = grid.cars[claim.car].slots[t];
        claim.missing -= std::int64_t{amps} * slot.weight;
        slot.may_rest = false;
        slot.lo = amps;
        if (claim.missing > 0) slot.hi = amps;
        if (slot.missing <= slot.lo || slot.missing >= slot.hi) slot.missing = 0;
        grid.cars[claim.car].floor += std::int64_t{amps} * slot.weight;
    }
    std::erase_if(claims, [](const Claim& claim) { return claim.missing <= 0; });
}

}  // namespace

void force_floors(JointGrid& grid, const JointProblem& problem) {
    std::vector<Claim> claims;
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        const JointCar& car = problem.cars[i];
        const Wide unit = Wide{50} * std::llround(car.per_ampere.count()) * grid.minutes_per_unit;
        const auto floor =
            static_cast<std::int64_t>(-floor_quotient(-thirds(std::min(car.floor, car.need)), unit));
        if (floor > 0) claims.push_back({i, floor, floor});
    }
    for (std::size_t t = 0; t < grid.slots() && !claims.empty(); ++t) deal_slot(grid, problem, claims, t);
}

}  // namespace lullwatt::plan
