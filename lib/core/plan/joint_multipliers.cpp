#include "core/plan/joint_multipliers.hpp"

#include <algorithm>
#include <utility>

namespace lullwatt::plan {

Multipliers::Multipliers(std::size_t rows, std::size_t slots)
    : at_(rows, std::vector<Wide>(slots)), best_(at_), direction_(rows, std::vector<double>(slots)) {}

void Multipliers::start_at(ByRow multipliers) {
    at_ = std::move(multipliers);
    forget_direction();
}

void Multipliers::forget_direction() {
    for (auto& row : direction_) std::ranges::fill(row, 0.0);
}

bool Multipliers::step(Wide bound, const Slopes& slopes, double distance) {
    const bool greatest = !bound_ || bound > *bound_;
    if (greatest) {
        bound_ = bound;
        best_ = at_;
        since_better_ = 0;
    } else if (++since_better_ >= 8) {  // back to the best point with shorter steps
        since_better_ = 0;
        pace_ /= 2;
        at_ = best_;
        forget_direction();
        return false;
    }

    constexpr double kMemory = 0.4;  // deflection: part of the last direction that is kept
    double square = 0;
    for (std::size_t r = 0; r < at_.size(); ++r) {
        for (std::size_t t = 0; t < at_[r].size(); ++t) {
            double& direction = direction_[r][t];
            direction = slopes[r][t] + kMemory * direction;
            if (direction < 0 && at_[r][t] == 0) direction = 0;
            square += direction * direction;
        }
    }
    if (square == 0) {
        pace_ = 0;
        return greatest;
    }
    const double step = pace_ * distance / square;
    for (std::size_t r = 0; r < at_.size(); ++r) {
        for (std::size_t t = 0; t < at_[r].size(); ++t) {
            const auto move = static_cast<Wide>(step * direction_[r][t]);
            at_[r][t] = std::max<Wide>(0, at_[r][t] + move);
        }
    }
    return greatest;
}

}  // namespace lullwatt::plan
