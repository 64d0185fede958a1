#include "core/plan/joint_bound.hpp"

#include <algorithm>
#include <cmath>

namespace lullwatt::plan {

Ascent::Ascent(const JointGrid& grid, const std::vector<std::int64_t>& targets)
    : grid_(grid),
      targets_(targets),
      at_(grid.rows.size(), std::vector<Wide>(grid.slots())),
      best_(at_),
      direction_(grid.rows.size(), std::vector<double>(grid.slots())),
      wishes_(grid.cars.size(), std::vector<int>(grid.slots())) {
    for (const JointGrid::Car& car : grid.cars) {
        rooms_.emplace_back();
        for (const GridSlot& slot : car.slots) rooms_.back().push_back(slot.hi);
    }
}

void Ascent::start_at(std::vector<std::vector<Wide>> multipliers) {
    at_ = std::move(multipliers);
    for (auto& row : direction_) std::ranges::fill(row, 0.0);
}

std::vector<Wide> Ascent::surcharge_at(const ByRow& at, std::size_t car) const {
    std::vector<Wide> sum(grid_.slots());
    for (const std::size_t r : grid_.cars[car].rows) {
        for (std::size_t t = 0; t < sum.size(); ++t) sum[t] += at[r][t];
    }
    return sum;
}

std::vector<Wide> Ascent::surcharge(std::size_t car, double share) const {
    std::vector<Wide> sum = surcharge_at(best_, car);
    const auto hundredths = static_cast<Wide>(std::lround(share * 100));
    for (Wide& unit : sum) unit = unit * hundredths / 100;
    return sum;
}

void Ascent::climb(Wide aim, Work& work) {
    Wide value = 0;
    std::vector<Wide> parts;
    for (std::size_t i = 0; i < grid_.cars.size(); ++i) {
        auto priced = best_response(grid_, i, targets_[i], rooms_[i], surcharge_at(at_, i), work);
        value += priced->cost;
        parts.push_back(priced->cost);
        wishes_[i] = std::move(priced->amps);
    }
    for (std::size_t r = 0; r < grid_.rows.size(); ++r) {
        for (std::size_t t = 0; t < grid_.slots(); ++t)
            value -= at_[r][t] * grid_.rows[r].capacity[t] * grid_.weight[t];
    }
    if (!bound_ || value > *bound_) {
        bound_ = value;
        best_ = at_;
        best_parts_ = std::move(parts);
        since_better_ = 0;
    } else if (++since_better_ >= 8) {  // back to the best point with shorter steps
        since_better_ = 0;
        pace_ /= 2;
        at_ = best_;
        for (auto& row : direction_) std::ranges::fill(row, 0.0);
        return;
    }

    constexpr double kMemory = 0.4;  // deflection: part of the last direction that is kept
    double square = 0;
    for (std::size_t r = 0; r < grid_.rows.size(); ++r) {
        const JointGrid::Row& row = grid_.rows[r];
        for (std::size_t t = 0; t < grid_.slots(); ++t) {
            if (!row.binds[t]) continue;
            double excess = -row.capacity[t];
            for (const std::size_t car : row.cars) excess += wishes_[car][t];
            double& direction = direction_[r][t];
            direction = excess * grid_.weight[t] + kMemory * direction;
            if (direction < 0 && at_[r][t] == 0) direction = 0;
            square += direction * direction;
        }
    }
    if (square == 0) {
        pace_ = 0;
        return;
    }
    const double distance = std::max(static_cast<double>(aim - value), static_cast<double>(grid_.per_money));
    const double step = pace_ * distance / square;
    for (std::size_t r = 0; r < grid_.rows.size(); ++r) {
        for (std::size_t t = 0; t < grid_.slots(); ++t) {
            const auto move = static_cast<Wide>(step * direction_[r][t]);
            at_[r][t] = std::max<Wide>(0, at_[r][t] + move);
        }
    }
}

}  // namespace lullwatt::plan
