#include "core/plan/joint_columns.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

#include "core/plan/joint_model.hpp"

namespace lullwatt::plan {
namespace {

using ByRow = std::vector<std::vector<Wide>>;
using Night = std::vector<int>;

bool same_pattern(const Night& a, const Night& b) {
    return std::ranges::equal(a, b, [](int one, int other) { return (one > 0) == (other > 0); });
}

class Columns {
  public:
    Columns(const JointGrid& grid, const std::vector<std::int64_t>& targets, const MixedSolver& solver);

    // Columns at the optimum's prices until the bound has come up to the programme's cost.
    void raise(Ascent& ascent, Work& work);
    // Fixes when cars charge, the surest first, and prices all anew at each step; their amperes come last.
    std::optional<JointAmps> fix_all(Work& work);

  private:
    void add(std::size_t car, const Night& night);
    [[nodiscard]] ByRow multipliers(const std::vector<double>& prices) const;
    void fix_surest(const std::vector<double>& values, std::size_t at_least);
    // The car charges in the slots of this night and in no other.
    void fix(std::size_t car, const Night& like);
    // A better night of each car, within what is fixed; false where none has one.
    bool price_all(const GrowingProgramme::Answer& answer, Work& work);
    [[nodiscard]] bool fits(const Night& night, std::size_t car) const;
    [[nodiscard]] std::optional<JointAmps> one_by_one(Work& work) const;

    const JointGrid& grid_;
    JointGrid fixed_;  // the same with what is fixed
    const std::vector<std::int64_t>& targets_;
    const MixedSolver& solver_;
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
    JointAmps least_;  // of the cars that are fixed
    std::vector<bool> is_fixed_;
};

Columns::Columns(const JointGrid& grid, const std::vector<std::int64_t>& targets, const MixedSolver& solver)
    : grid_(grid),
      fixed_(grid),
      targets_(targets),
      solver_(solver),
      per_cost_(static_cast<double>(grid.per_money) * 3e11 / static_cast<double>(grid.thirds_per_money)),
      known_(grid.cars.size()),
      least_(grid.cars.size(), Night(grid.slots())),
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
    const std::vector<int> room = room_beside(grid_, car, least_);
    for (std::size_t t = 0; t < night.size(); ++t) {
        if (night[t] > 0 && grid_.cars[car].slots[t].lo > room[t]) return false;
    }
    return true;
}

void Columns::fix(std::size_t car, const Night& like) {
    is_fixed_[car] = true;
    fix_pattern(fixed_, car, like);
    for (std::size_t t = 0; t < like.size(); ++t)
        least_[car][t] = like[t] > 0 ? grid_.cars[car].slots[t].lo : 0;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
        if (columns_[c].car == car && !columns_[c].night.empty() && !same_pattern(columns_[c].night, like))
            programme_->forbid(static_cast<int>(c));
    }
}

void Columns::fix_surest(const std::vector<double>& values, std::size_t at_least) {
    struct Choice {
        double weight;
        std::size_t column;  // one of those with this pattern
    };
    std::vector<Choice> choices;
    for (std::size_t c = 0; c < values.size(); ++c) {
        const Column& column = columns_[c];
        if (values[c] <= 1e-6 || is_fixed_[column.car] || column.night.empty()) continue;
        const auto alike = std::ranges::find_if(choices, [&](const Choice& choice) {
            const Column& other = columns_[choice.column];
            return other.car == column.car && same_pattern(other.night, column.night);
        });
        if (alike == choices.end()) {
            choices.push_back({values[c], c});
        } else {
            alike->weight += values[c];
        }
    }
    std::ranges::stable_sort(choices, std::greater<>{}, &Choice::weight);
    std::size_t fixed = 0;
    for (const Choice& choice : choices) {
        const Column& column = columns_[choice.column];
        if (is_fixed_[column.car] || (fixed >= at_least && choice.weight < 0.9999)) continue;
        if (!fits(column.night, column.car)) continue;
        fix(column.car, column.night);
        ++fixed;
    }
}

bool Columns::price_all(const GrowingProgramme::Answer& answer, Work& work) {
    const ByRow at = multipliers(answer.prices);
    const std::size_t before = columns_.size();
    for (std::size_t i = 0; i < grid_.cars.size() && !work.stopped(); ++i) {
        std::vector<Wide> surcharge(grid_.slots());
        for (const std::size_t r : grid_.cars[i].rows) {
            for (std::size_t t = 0; t < surcharge.size(); ++t) surcharge[t] += at[r][t];
        }
        const auto priced =
            best_response(fixed_, i, targets_[i], room_beside(fixed_, i, least_), surcharge, work);
        if (priced) add(i, priced->amps);
    }
    return columns_.size() > before;
}

std::optional<JointAmps> Columns::one_by_one(Work& work) const {
    JointAmps amps = least_;
    for (std::size_t i = 0; i < grid_.cars.size(); ++i) {
        auto priced = best_response(grid_, i, targets_[i], room_beside(grid_, i, amps), {}, work);
        if (!priced) return std::nullopt;
        amps[i] = std::move(priced->amps);
    }
    return amps;
}

std::optional<JointAmps> Columns::fix_all(Work& work) {
    constexpr int kRoundsEach = 4;
    constexpr std::size_t kParts = 15;
    for (std::size_t left = grid_.cars.size(); left > 0 && !work.stopped();) {
        auto answer = programme_->solve();
        for (int round = 0; round < kRoundsEach && !answer.values.empty() && price_all(answer, work); ++round)
            answer = programme_->solve();
        if (answer.values.empty()) break;
        fix_surest(answer.values, left / kParts + 1);
        const auto now = static_cast<std::size_t>(std::ranges::count(is_fixed_, false));
        if (now == left) break;
        left = now;
    }
    auto amps = one_by_one(work);
    if (std::ranges::count(is_fixed_, false) > 0) return amps;
    auto best = best_amps(fixed_, targets_, work, solver_);
    return best ? best : amps;
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

std::optional<JointAmps> best_amps(const JointGrid& fixed, const std::vector<std::int64_t>& targets,
                                   Work& work, const MixedSolver& solver) {
    constexpr std::int64_t kNodes = 500;  // none is needed where the amperes are a flow
    const JointModel model(fixed, targets, Aim::least_money, false);
    const MixedAnswer answer = solver.whole(model.programme(), {kNodes, work.budget().stop});
    if (answer.values.empty()) return std::nullopt;
    JointAmps amps = model.amps(answer.values);
    if (!feasible(fixed, targets, amps)) return std::nullopt;
    return amps;
}

void fix_pattern(JointGrid& grid, std::size_t car, const std::vector<int>& like) {
    for (std::size_t t = 0; t < like.size(); ++t) {
        GridSlot& slot = grid.cars[car].slots[t];
        if (like[t] > 0) {
            slot.may_rest = false;
        } else {
            slot.lo = slot.hi = slot.missing = 0;
        }
    }
}

}  // namespace lullwatt::plan
