#include "core/plan/joint_bound.hpp"

#include <algorithm>
#include <cmath>

namespace lullwatt::plan {

Ascent::Ascent(const JointGrid& grid, const std::vector<std::int64_t>& targets)
    : grid_(grid),
      targets_(targets),
      multipliers_(grid.rows.size(), grid.slots()),
      wishes_(grid.cars.size(), std::vector<int>(grid.slots())) {
    for (const JointGrid::Car& car : grid.cars) {
        rooms_.emplace_back();
        for (const GridSlot& slot : car.slots) rooms_.back().push_back(slot.hi);
    }
}

std::vector<Wide> Ascent::surcharge_at(const Multipliers::ByRow& at, std::size_t car) const {
    std::vector<Wide> sum(grid_.slots());
    for (const std::size_t r : grid_.cars[car].rows) {
        for (std::size_t t = 0; t < sum.size(); ++t) sum[t] += at[r][t];
    }
    return sum;
}

std::vector<Wide> Ascent::surcharge(std::size_t car, double share) const {
    std::vector<Wide> sum = surcharge_at(multipliers_.best(), car);
    const auto hundredths = static_cast<Wide>(std::lround(share * 100));
    for (Wide& unit : sum) unit = unit * hundredths / 100;
    return sum;
}

void Ascent::climb(Wide aim, Work& work) {
    Wide value = 0;
    std::vector<Wide> parts;
    for (std::size_t i = 0; i < grid_.cars.size(); ++i) {
        auto priced =
            best_response(grid_, i, targets_[i], rooms_[i], surcharge_at(multipliers_.at(), i), work);
        value += priced->cost;
        parts.push_back(priced->cost);
        wishes_[i] = std::move(priced->amps);
    }
    Multipliers::Slopes slopes(grid_.rows.size(), std::vector<double>(grid_.slots()));
    for (std::size_t r = 0; r < grid_.rows.size(); ++r) {
        const JointGrid::Row& row = grid_.rows[r];
        for (std::size_t t = 0; t < grid_.slots(); ++t) {
            value -= multipliers_.at()[r][t] * row.capacity[t] * grid_.weight[t];
            if (!row.binds[t]) continue;
            int excess = -row.capacity[t];
            for (const std::size_t car : row.cars) excess += wishes_[car][t];
            slopes[r][t] = static_cast<double>(excess) * grid_.weight[t];
        }
    }
    const double distance = std::max(static_cast<double>(aim - value), static_cast<double>(grid_.per_money));
    if (multipliers_.step(value, slopes, distance)) best_parts_ = std::move(parts);
}

}  // namespace lullwatt::plan
