#include "core/plan/joint_dive.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lullwatt::plan {

Dive::Dive(const JointGrid& grid, const std::vector<std::int64_t>& targets, Ascent& ascent,
           const MixedSolver& solver)
    : grid_(grid), targets_(targets), ascent_(ascent), columns_(grid, targets, solver) {}

std::size_t Dive::left_to_fix() const {
    std::size_t left = 0;
    for (std::size_t i = 0; i < grid_.cars.size(); ++i) left += columns_.is_fixed(i) ? 0 : 1;
    return left;
}

bool Dive::fix_rest(double most, bool by_chance, Work& work) {
    constexpr std::size_t kParts = 15;
    constexpr double kSure = 0.9999;
    for (;;) {
        const std::size_t left = left_to_fix();
        if (left == 0) return true;
        if (work.stopped()) return false;
        auto optimum = columns_.optimum(work);
        if (!optimum || optimum->cost >= most) return false;
        const auto key = [&](const Columns::Choice& choice) {
            if (!by_chance || choice.weight >= kSure) return choice.weight;
            return choice.weight * static_cast<double>(1 + engine_() % 4) / 4;
        };
        std::vector<std::pair<double, const Columns::Choice*>> order;
        for (const Columns::Choice& choice : optimum->choices) order.emplace_back(key(choice), &choice);
        std::ranges::stable_sort(order, std::greater<>{}, [](const auto& one) { return one.first; });
        std::size_t fixed = 0;
        for (const auto& [weight, choice] : order) {
            if (columns_.is_fixed(choice->car) || (fixed > left / kParts && choice->weight < kSure)) continue;
            if (!columns_.fits(choice->car, choice->like)) continue;
            columns_.fix(choice->car, choice->like);
            ++fixed;
        }
        if (fixed == 0) return false;
    }
}

// Where what is fixed leaves a car no room, it is released with some others by chance; false where all have
// theirs.
bool Dive::release_for_room(Work& work) {
    constexpr std::size_t kOthers = 12;
    const auto optimum = columns_.optimum(work);
    if (!optimum || (optimum->away.empty() && left_to_fix() == 0)) return false;
    for (const std::size_t car : optimum->away) columns_.release(car);
    for (std::size_t i = 0; i < std::min(kOthers, grid_.cars.size()); ++i)
        columns_.release(engine_() % grid_.cars.size());
    return true;
}

std::optional<JointAmps> Dive::first(Work& work) {
    constexpr int kRepairs = 30;
    columns_.raise(ascent_, work);
    if (work.stopped()) return std::nullopt;
    bool all = fix_rest(std::numeric_limits<double>::infinity(), false, work);
    for (int repair = 0; repair < kRepairs && !work.spent() && release_for_room(work); ++repair)
        all = fix_rest(std::numeric_limits<double>::infinity(), true, work);
    auto amps = columns_.one_by_one(work);
    if (all && !work.stopped()) {
        if (auto best = columns_.amps(work)) amps = std::move(best);
    }
    if (amps && !feasible(grid_, targets_, *amps)) return std::nullopt;
    return amps;
}

// Those that pay most for the others at the best prices known, and as many by chance.
std::vector<std::size_t> Dive::to_fix_anew(const JointAmps& best) {
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t i = 0; i < grid_.cars.size(); ++i) {
        Wide paid = cost(grid_, i, best[i]) - ascent_.parts()[i];
        const std::vector<Wide> surcharge = ascent_.surcharge(i, 1);
        for (std::size_t t = 0; t < grid_.slots(); ++t) paid += surcharge[t] * best[i][t] * grid_.weight[t];
        order.emplace_back(static_cast<double>(paid) * static_cast<double>(1 + engine_() % 8), i);
    }
    std::ranges::sort(order, std::greater<>{});
    const std::size_t most = std::min<std::size_t>(order.size(), 4 + engine_() % 12);
    std::vector<std::size_t> cars;
    for (const auto& [paid, car] : order) {
        if (2 * cars.size() < most) cars.push_back(car);
    }
    while (cars.size() < most) {
        const std::size_t car = engine_() % grid_.cars.size();
        if (std::ranges::find(cars, car) == cars.end()) cars.push_back(car);
    }
    return cars;
}

std::optional<JointAmps> Dive::again(const JointAmps& best, Work& work) {
    const double cost = columns_.cost_of(best);
    const std::vector<std::size_t> anew = to_fix_anew(best);
    for (std::size_t i = 0; i < grid_.cars.size(); ++i) {
        columns_.add(i, best[i]);
        if (columns_.is_fixed(i)) columns_.release(i);
        if (std::ranges::find(anew, i) == anew.end()) columns_.fix(i, best[i]);
    }
    const double less = cost - 1e-8 * std::max(std::abs(cost), 1.0);
    if (!fix_rest(less, true, work)) return std::nullopt;
    auto amps = columns_.amps(work);
    if (!amps || !feasible(grid_, targets_, *amps) || columns_.cost_of(*amps) >= less) return std::nullopt;
    return amps;
}

}  // namespace lullwatt::plan
