#include "core/plan/joint_model.hpp"

#include <algorithm>
#include <cmath>

#include "core/plan/joint_price.hpp"

namespace lullwatt::plan {
namespace {

// The programme counts in ten-millionths of the currency: plans cost 1e6 to 1e8 of them.
constexpr double kThirdsPerCost = 3e11;
constexpr double kSafety = 1e-7;  // of the cost, taken off what floating point says

}  // namespace

JointModel::JointModel(const JointGrid& grid, const std::vector<std::int64_t>& targets, Aim aim,
                       bool whole_amps)
    : grid_(grid), aim_(aim), per_step_(static_cast<double>(grid.thirds_per_money) / kThirdsPerCost) {
    for (std::size_t i = 0; i < grid.cars.size(); ++i) add_car(i, targets[i], whole_amps || !grid.laminar);
    add_rows();
}

int JointModel::row(double low, double high) {
    programme_.rows.push_back({low, high});
    return static_cast<int>(programme_.rows.size()) - 1;
}

void JointModel::add_car(std::size_t i, std::int64_t target, bool whole_amps) {
    const JointGrid::Car& car = grid_.cars[i];
    const bool money = aim_ == Aim::least_money;
    amps_.emplace_back(grid_.slots(), -1);
    if (car.need == 0) return;
    const int delivered = row(static_cast<double>(target), static_cast<double>(most_energy(grid_, i)));
    // How often the car starts is a column of its own: to branch on it moves the bound, which to branch on
    // one slot of many alike does not.
    int starts_of_car = -1;
    if (money) {
        starts_of_car = row(0, 0);
        term(starts_of_car, static_cast<int>(programme_.columns.size()), -1);
        const bool open = std::ranges::any_of(
            car.slots, [](const GridSlot& slot) { return slot.hi > 0 && slot.may_rest; });
        programme_.columns.push_back({target > 0 ? 1.0 : 0.0, static_cast<double>(grid_.slots()), 0, open});
    }
    int on_before = -1;
    for (std::size_t t = 0; t < grid_.slots(); ++t) {
        const GridSlot& slot = car.slots[t];
        if (slot.hi == 0) {
            on_before = -1;
            continue;
        }
        const double unit = money ? static_cast<double>(grid_.money(slot.cost)) * per_step_ : 0;
        const int amps = static_cast<int>(programme_.columns.size());
        const int on = amps + 1;
        const double least_on = slot.may_rest ? 0 : 1;
        amps_[i][t] = amps;
        programme_.columns.push_back(
            {slot.lo * least_on, static_cast<double>(slot.hi), unit * slot.weight, whole_amps});
        programme_.columns.push_back({least_on, 1, 0, true});
        term(delivered, amps, slot.weight);
        const int at_most = row(-MixedProgramme::kUnbounded, 0);
        term(at_most, amps, 1);
        term(at_most, on, -slot.hi);
        const int at_least = row(0, MixedProgramme::kUnbounded);
        term(at_least, amps, 1);
        term(at_least, on, -slot.lo);
        if (slot.missing > 0) add_gap(slot, amps, on);
        if (money) {
            const int start = static_cast<int>(programme_.columns.size());
            programme_.columns.push_back(
                {0, 1, static_cast<double>(grid_.money(car.start)) * per_step_, false});
            term(starts_of_car, start, 1);
            const int starts = row(0, MixedProgramme::kUnbounded);  // start >= on − on before
            term(starts, start, 1);
            term(starts, on, -1);
            if (on_before >= 0) term(starts, on_before, 1);
        }
        on_before = on;
    }
}

// Above the current that does not exist or below it: a column of its own.
void JointModel::add_gap(const GridSlot& slot, int amps, int on) {
    const int above = static_cast<int>(programme_.columns.size());
    programme_.columns.push_back({0, 1, 0, true});
    const int at_most = row(-MixedProgramme::kUnbounded, 0);
    term(at_most, amps, 1);
    term(at_most, on, -(slot.missing - 1));
    term(at_most, above, -(slot.hi - slot.missing + 1));
    const int at_least = row(0, MixedProgramme::kUnbounded);
    term(at_least, amps, 1);
    term(at_least, on, -slot.lo);
    term(at_least, above, -(slot.missing + 1 - slot.lo));
    const int only_on = row(-MixedProgramme::kUnbounded, 0);
    term(only_on, above, 1);
    term(only_on, on, -1);
}

void JointModel::add_rows() {
    for (const JointGrid::Row& shared : grid_.rows) {
        together_.emplace_back(grid_.slots(), -1);
        for (std::size_t t = 0; t < grid_.slots(); ++t) {
            if (!shared.binds[t]) continue;
            std::vector<int> leasts;
            const int together = row(-MixedProgramme::kUnbounded, shared.capacity[t]);
            together_.back()[t] = together;
            for (const std::size_t car : shared.cars) {
                if (amps_[car][t] < 0) continue;
                term(together, amps_[car][t], 1);
                leasts.push_back(grid_.cars[car].slots[t].lo);
            }
            std::ranges::sort(leasts);
            int left = shared.capacity[t];
            std::size_t fit = 0;
            while (fit < leasts.size() && left >= leasts[fit]) left -= leasts[fit++];
            if (fit == leasts.size()) continue;
            const int at_once = row(-MixedProgramme::kUnbounded, static_cast<double>(fit));
            for (const std::size_t car : shared.cars) {
                if (amps_[car][t] >= 0) term(at_once, amps_[car][t] + 1, 1);
            }
        }
    }
}

void JointModel::ask_below(Wide money) {
    const double cost = static_cast<double>(money) * per_step_;
    // Half a step below where steps are coarse: nothing lies between. Else as close as floating point tells.
    programme_.cutoff = cost - std::max(per_step_ / 2, 2 * kSafety * std::max(std::abs(cost), 1e5));
}

Wide JointModel::money_bound(double bound) const {
    const double safe = bound - kSafety * std::max(std::abs(bound), 1e5);
    if (!(std::abs(safe) < 1e30)) return -(static_cast<Wide>(1) << 100);
    return static_cast<Wide>(std::ceil(safe / per_step_));
}

std::vector<std::vector<Wide>> JointModel::multipliers(const std::vector<double>& row_prices) const {
    std::vector<std::vector<Wide>> out;
    for (const std::vector<int>& row : together_) {
        out.emplace_back(grid_.slots());
        for (std::size_t t = 0; t < grid_.slots(); ++t) {
            if (row[t] < 0) continue;
            const double steps = -row_prices[static_cast<std::size_t>(row[t])] / per_step_ / grid_.weight[t];
            out.back()[t] =
                std::max<Wide>(0, static_cast<Wide>(steps * static_cast<double>(grid_.per_money)));
        }
    }
    return out;
}

JointAmps JointModel::amps(const std::vector<double>& values) const {
    JointAmps out(grid_.cars.size(), std::vector<int>(grid_.slots()));
    for (std::size_t i = 0; i < out.size(); ++i) {
        for (std::size_t t = 0; t < grid_.slots(); ++t) {
            if (amps_[i][t] >= 0)
                out[i][t] = static_cast<int>(std::lround(values[static_cast<std::size_t>(amps_[i][t])]));
        }
    }
    return out;
}

}  // namespace lullwatt::plan
