#include "core/plan/joint_columns.hpp"

#include <algorithm>
#include <cmath>

#include "core/plan/joint_model.hpp"

namespace lullwatt::plan {
namespace {

using Night = Columns::Night;

bool same_pattern(const Night& a, const Night& b) {
    return std::ranges::equal(a, b, [](int one, int other) { return (one > 0) == (other > 0); });
}

}  // namespace

Columns::Columns(const JointGrid& grid, const std::vector<std::int64_t>& targets, const MixedSolver& solver)
    : grid_(grid),
      fixed_(grid),
      targets_(targets),
      solver_(solver),
      per_cost_(static_cast<double>(grid.per_money) * 3e11 / static_cast<double>(grid.thirds_per_money)),
      known_(grid.cars.size()),
      forced_(forced_only(grid)),
      least_(forced_),
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

Columns::ByRow Columns::multipliers(const std::vector<double>& prices) const {
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

bool Columns::fits(std::size_t car, const Night& night) const {
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

void Columns::release(std::size_t car) {
    is_fixed_[car] = false;
    fixed_.cars[car].slots = grid_.cars[car].slots;
    least_[car] = forced_[car];
    for (std::size_t c = 0; c < columns_.size(); ++c) {
        if (columns_[c].car == car) programme_->allow(static_cast<int>(c));
    }
}

std::vector<Columns::Choice> Columns::choices(const std::vector<double>& values) const {
    std::vector<Choice> choices;
    for (std::size_t c = 0; c < values.size(); ++c) {
        const Column& column = columns_[c];
        if (values[c] <= 1e-6 || is_fixed_[column.car] || column.night.empty()) continue;
        const auto alike = std::ranges::find_if(choices, [&](const Choice& choice) {
            return choice.car == column.car && same_pattern(choice.like, column.night);
        });
        if (alike == choices.end()) {
            choices.push_back({column.car, values[c], column.night});
        } else {
            alike->weight += values[c];
        }
    }
    return choices;
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

std::optional<Columns::Optimum> Columns::optimum(Work& work) {
    constexpr int kRounds = 4;
    auto answer = programme_->solve();
    for (int round = 0; round < kRounds && !answer.values.empty() && price_all(answer, work); ++round)
        answer = programme_->solve();
    if (answer.values.empty()) return std::nullopt;
    Optimum optimum{answer.cost, choices(answer.values), {}};
    for (std::size_t c = 0; c < grid_.cars.size(); ++c) {  // the first columns are those of staying away
        if (answer.values[c] > 1e-6) optimum.away.push_back(c);
    }
    return optimum;
}

double Columns::cost_of(const JointAmps& amps) const {
    return static_cast<double>(cost(grid_, amps)) / per_cost_;
}

std::optional<JointAmps> Columns::amps(Work& work) const {
    return best_amps(fixed_, targets_, work, solver_);
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
