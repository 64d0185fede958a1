#include "core/plan/joint_columns.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace lullwatt::plan {
namespace {

using ByRow = std::vector<std::vector<Wide>>;
using Night = std::vector<int>;

class Columns {
  public:
    Columns(const JointGrid& grid, const std::vector<std::int64_t>& targets, const MixedSolver& solver);

    // Columns at the optimum's prices until the bound has come up to the programme's cost.
    void raise(Ascent& ascent, Work& work);
    // Fixes cars, the surest first, and prices the others anew; those left over go where there is room.
    std::optional<JointAmps> fix_all(Work& work);

  private:
    void add(std::size_t car, const Night& night);
    [[nodiscard]] ByRow multipliers(const std::vector<double>& prices) const;
    void fix_surest(const std::vector<double>& values, std::size_t at_least);
    // A better night of each car that is not fixed; false where none has one.
    bool price_rest(const GrowingProgramme::Answer& answer, Work& work);
    [[nodiscard]] bool fits(const Night& night, std::size_t car) const;

    const JointGrid& grid_;
    const std::vector<std::int64_t>& targets_;
    double per_cost_;                       // of the grid's cost, for one of the programme's
    std::vector<std::vector<int>> row_of_;  // of the programme, by row and slot; −1: cannot bind
    std::vector<int> car_row_;
    std::unique_ptr<GrowingProgramme> programme_;
    struct Column {
        std::size_t car;
        Night night;  // empty: the car stays away, at a price no night has
    };
    std::vector<Column> columns_;
    std::vector<std::set<Night>> known_;
    JointAmps fixed_;
    std::vector<bool> is_fixed_;
};

Columns::Columns(const JointGrid& grid, const std::vector<std::int64_t>& targets, const MixedSolver& solver)
    : grid_(grid),
      targets_(targets),
      per_cost_(static_cast<double>(grid.per_money) * 3e11 / static_cast<double>(grid.thirds_per_money)),
      known_(grid.cars.size()),
      fixed_(grid.cars.size(), Night(grid.slots())),
      is_fixed_(grid.cars.size()) {
    std::vector<MixedProgramme::Row> rows;
    for (const JointGrid::Row& row : grid.rows) {
        row_of_.emplace_back(grid.slots(), -1);
        for (std::size_t t = 0; t < grid.slots(); ++t) {
            if (!row.binds[t]) continue;
            row_of_.back()[t] = static_cast<int>(rows.size());
            rows.push_back({-MixedProgramme::kUnbounded, static_cast<double>(row.capacity[t])});
        }
    }
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        car_row_.push_back(static_cast<int>(rows.size()));
        rows.push_back({1, 1});
    }
    programme_ = solver.growing(rows);
    for (std::size_t i = 0; i < grid.cars.size(); ++i) {
        Wide dearest = grid.cars[i].start;
        for (const GridSlot& slot : grid.cars[i].slots)
            dearest = std::max(dearest, slot.cost < 0 ? -slot.cost : slot.cost);
        const double away = 5 * static_cast<double>(dearest) * static_cast<double>(most_energy(grid, i) + 1);
        programme_->add(away / per_cost_, {{car_row_[i], 1}});
        columns_.push_back({i, {}});
    }
}

void Columns::add(std::size_t car, const Night& night) {
    if (!known_[car].insert(night).second) return;
    std::vector<GrowingProgramme::Term> terms = {{car_row_[car], 1}};
    for (const std::size_t r : grid_.cars[car].rows) {
        for (std::size_t t = 0; t < night.size(); ++t) {
            if (night[t] > 0 && row_of_[r][t] >= 0)
                terms.push_back({row_of_[r][t], static_cast<double>(night[t])});
        }
    }
    programme_->add(static_cast<double>(cost(grid_, car, night)) / per_cost_, terms);
    columns_.push_back({car, night});
}

ByRow Columns::multipliers(const std::vector<double>& prices) const {
    ByRow out;
    for (const std::vector<int>& row : row_of_) {
        out.emplace_back(grid_.slots());
        for (std::size_t t = 0; t < grid_.slots(); ++t) {
            if (row[t] < 0) continue;
            const double unit = -prices[static_cast<std::size_t>(row[t])] / grid_.weight[t] * per_cost_;
            out.back()[t] = std::max<Wide>(0, static_cast<Wide>(unit));
        }
    }
    return out;
}

void Columns::raise(Ascent& ascent, Work& work) {
    constexpr int kRounds = 120;
    constexpr double kClose = 2e-6;
    for (std::size_t i = 0; i < grid_.cars.size(); ++i) add(i, ascent.wishes()[i]);
    ByRow best(grid_.rows.size(), std::vector<Wide>(grid_.slots()));
    Wide best_bound = *ascent.bound();
    double inward = 0.6;  // how much of the way back to the best prices the next ones are tried
    for (int round = 0; round < kRounds && !work.spent(); ++round) {
        const auto answer = programme_->solve();
        if (answer.values.empty()) return;
        const double bound = static_cast<double>(*ascent.bound()) / per_cost_;
        if (answer.cost - bound <= kClose * std::max(std::abs(answer.cost), 1.0)) return;
        const ByRow outer = multipliers(answer.prices);
        ByRow tried = outer;
        for (std::size_t r = 0; r < tried.size(); ++r) {
            for (std::size_t t = 0; t < tried[r].size(); ++t)
                tried[r][t] += static_cast<Wide>(inward * static_cast<double>(best[r][t] - outer[r][t]));
        }
        const std::size_t before = columns_.size();
        ascent.start_at(tried);
        ascent.climb(*ascent.bound(), work);
        for (std::size_t i = 0; i < grid_.cars.size(); ++i) add(i, ascent.wishes()[i]);
        const bool at_optimum = tried == outer;
        if (*ascent.bound() > best_bound) {
            best_bound = *ascent.bound();
            best = std::move(tried);
        }
        inward = columns_.size() == before ? 0 : inward * 0.93;
        if (columns_.size() == before && at_optimum) return;
    }
}

bool Columns::fits(const Night& night, std::size_t car) const {
    const std::vector<int> room = room_beside(grid_, car, fixed_);
    for (std::size_t t = 0; t < night.size(); ++t) {
        if (night[t] > room[t]) return false;
    }
    return true;
}

void Columns::fix_surest(const std::vector<double>& values, std::size_t at_least) {
    std::vector<std::size_t> order;
    for (std::size_t c = 0; c < values.size(); ++c) {
        if (values[c] > 1e-6 && !is_fixed_[columns_[c].car] && !columns_[c].night.empty()) order.push_back(c);
    }
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) { return values[a] > values[b]; });
    std::size_t fixed = 0;
    for (const std::size_t c : order) {
        const auto& [car, night] = columns_[c];
        if (is_fixed_[car] || (fixed >= at_least && values[c] < 0.9999)) continue;
        if (!fits(night, car)) continue;
        fixed_[car] = night;
        is_fixed_[car] = true;
        programme_->fix_at_one(static_cast<int>(c));
        ++fixed;
    }
}

bool Columns::price_rest(const GrowingProgramme::Answer& answer, Work& work) {
    const ByRow at = multipliers(answer.prices);
    const std::size_t before = columns_.size();
    for (std::size_t i = 0; i < grid_.cars.size() && !work.stopped(); ++i) {
        if (is_fixed_[i]) continue;
        std::vector<Wide> surcharge(grid_.slots());
        for (const std::size_t r : grid_.cars[i].rows) {
            for (std::size_t t = 0; t < surcharge.size(); ++t) surcharge[t] += at[r][t];
        }
        const auto priced =
            best_response(grid_, i, targets_[i], room_beside(grid_, i, fixed_), surcharge, work);
        if (priced) add(i, priced->amps);
    }
    return columns_.size() > before;
}

std::optional<JointAmps> Columns::fix_all(Work& work) {
    constexpr int kRoundsEach = 4;
    constexpr std::size_t kParts = 15;
    for (std::size_t left = grid_.cars.size(); left > 0 && !work.stopped();) {
        auto answer = programme_->solve();
        for (int round = 0; round < kRoundsEach && !answer.values.empty() && price_rest(answer, work);
             ++round)
            answer = programme_->solve();
        if (answer.values.empty()) break;
        fix_surest(answer.values, left / kParts + 1);
        const auto now = static_cast<std::size_t>(std::ranges::count(is_fixed_, false));
        if (now == left) break;
        left = now;
    }
    for (std::size_t i = 0; i < grid_.cars.size(); ++i) {
        if (is_fixed_[i]) continue;
        auto priced = best_response(grid_, i, targets_[i], room_beside(grid_, i, fixed_), {}, work);
        if (!priced) return std::nullopt;
        fixed_[i] = std::move(priced->amps);
    }
    return fixed_;
}

}  // namespace

std::optional<JointAmps> plan_by_columns(const JointGrid& grid, const std::vector<std::int64_t>& targets,
                                         Ascent& ascent, Work& work, const MixedSolver& solver) {
    Columns columns(grid, targets, solver);
    columns.raise(ascent, work);
    if (work.stopped()) return std::nullopt;
    auto amps = columns.fix_all(work);
    if (amps && !feasible(grid, targets, *amps)) return std::nullopt;
    return amps;
}

}  // namespace lullwatt::plan
