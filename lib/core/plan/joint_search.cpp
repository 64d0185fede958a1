#include "core/plan/joint_search.hpp"

#include <algorithm>
#include <numeric>

namespace lullwatt::plan {

Search::Search(const JointGrid& grid, const std::vector<std::int64_t>& targets, const Ascent& ascent)
    : grid_(grid), targets_(targets), ascent_(ascent), order_(grid.cars.size()), forced_(forced_only(grid)) {
    std::iota(order_.begin(), order_.end(), std::size_t{0});
}

std::vector<std::size_t> Search::shuffled() {
    std::vector<std::size_t> order(grid_.cars.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[chance(i)]);
    return order;
}

bool Search::insert(JointAmps& amps, const std::vector<std::size_t>& order, double share, Work& work) {
    for (const std::size_t car : order) {
        auto surcharge = ascent_.surcharge(car, share);
        auto priced =
            best_response(grid_, car, targets_[car], room_beside(grid_, car, amps), surcharge, work);
        if (!priced) {
            const auto at = std::ranges::find(order_, car);
            std::rotate(order_.begin(), at, at + 1);
            return false;
        }
        amps[car] = std::move(priced->amps);
    }
    return true;
}

void Search::polish(JointAmps& amps, Work& work) {
    std::size_t quiet = 0;
    for (std::size_t car = 0; quiet < grid_.cars.size() && !work.stopped();
         car = (car + 1) % grid_.cars.size()) {
        auto priced = best_response(grid_, car, targets_[car], room_beside(grid_, car, amps), {}, work);
        ++quiet;
        if (!priced || priced->cost >= plan::cost(grid_, car, amps[car])) continue;
        amps[car] = std::move(priced->amps);
        quiet = 1;
    }
}

void Search::keep(JointAmps amps) {
    const Wide cost = plan::cost(grid_, amps);
    if (!best_ || cost < cost_) {
        best_ = amps;
        cost_ = cost;
    }
    current_ = std::move(amps);
    current_cost_ = cost;
}

void Search::offer(JointAmps amps, Work& work) {
    polish(amps, work);
    keep(std::move(amps));
}

void Search::step(Work& work) {
    constexpr double kShares[] = {1.0, 0.5, 1.25, 0.75, 0.0, 1.0, 2.0};
    const double share = kShares[static_cast<std::size_t>(steps_) % std::size(kShares)];
    const bool build = !best_ || steps_ % 3 == 0;
    ++steps_;
    if (build) {
        JointAmps amps = forced_;
        if (!insert(amps, steps_ % 2 == 0 ? shuffled() : order_, share, work)) return;
        polish(amps, work);
        keep(std::move(amps));
        return;
    }
    // Two cars or more out, and back in another order.
    std::vector<std::size_t> out = shuffled();
    if (out.size() > 2) out.resize(2 + chance(std::min<std::size_t>(out.size() - 1, 4)));
    JointAmps amps = chance(2) == 0 ? *best_ : *current_;
    for (const std::size_t car : out) amps[car] = forced_[car];
    if (!insert(amps, out, share, work)) return;
    polish(amps, work);
    const Wide cost = plan::cost(grid_, amps);
    if (cost <= current_cost_ || chance(4) == 0) keep(std::move(amps));
}

}  // namespace lullwatt::plan
