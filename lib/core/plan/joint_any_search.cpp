#include "core/plan/joint_any_search.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numeric>
#include <utility>

#include "core/plan/joint_rest.hpp"
#include "core/plan/solve.hpp"

namespace lullwatt::plan {
AnySearch::AnySearch(const JointProblem& problem, const Draft& floors)
    : problem_(problem), floors_(floors), best_(floors) {}

void AnySearch::take_out(Draft& draft, std::size_t car) const {
    draft.amps[car] = floors_.amps[car];
    draft.cars[car] = floors_.cars[car];
}

std::vector<std::size_t> AnySearch::shuffled() {
    std::vector<std::size_t> order(problem_.cars.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[engine_() % i]);
    return order;
}

void AnySearch::polish(Draft& draft, Work& work) const {
    std::size_t quiet = 0;
    for (std::size_t car = 0; quiet < draft.cars.size() && !work.spent();
         car = (car + 1) % draft.cars.size()) {
        ++quiet;
        const Problem rest = rest_of(problem_, draft.amps, car);
        const Plan anew = solve(rest);
        work.count(pricings_of(rest));
        if (anew.objective >= draft.cars[car]) continue;
        set_car(draft, car, anew);
        quiet = 1;
    }
}

bool AnySearch::offer(Draft draft, Work& work) {
    polish(draft, work);
    if (!better(problem_, draft, best_)) return false;
    best_ = std::move(draft);
    return true;
}

bool AnySearch::insert_parts(Draft& draft, double part, Work& work) const {
    for (std::size_t car = 0; car < draft.cars.size(); ++car) {
        Problem rest = rest_of(problem_, draft.amps, car);
        const MilliwattHours dealt(rest.need - floors_.cars[car].short_by);
        const MilliwattHours floor = std::min(rest.floor, dealt);
        const MilliwattHours share(std::llround(static_cast<double>(rest.need.count()) * part));
        const MilliwattHours enough = std::max(share, floor);
        // By hand nobody stops a block before all of its need is in.
        if (rest.manner == Manner::driven) {
            rest.need = enough;
            rest.floor = floor;
        }
        const Plan plan = solve(rest);
        work.count(pricings_of(rest));
        if (rest.need - plan.objective.short_by < enough) return false;
        set_car(draft, problem_, car, offered(plan));
    }
    return true;
}

void AnySearch::even_out(Work& work) {
    double met = 0;
    double unmet = 1;
    constexpr int kHalvings = 6;
    for (int i = 0; i < kHalvings && !work.hurried() && !work.spent(0.5); ++i) {
        const double part = (met + unmet) / 2;
        Draft draft = floors_;
        const bool fits = insert_parts(draft, part, work);
        (fits ? met : unmet) = part;
        if (fits) (void)offer(std::move(draft), work);
    }
}

bool AnySearch::step(const AnyAscent& ascent, Work& work) {
    constexpr double kShares[] = {1.0, 0.5, 1.25, 0.75, 0.0, 1.0, 2.0};
    const double share = kShares[static_cast<std::size_t>(steps_) % std::size(kShares)];
    std::vector<std::size_t> order = shuffled();
    // Every third time all cars, else some.
    if (steps_ % 3 != 0 && order.size() > 2) order.resize(2 + engine_() % (order.size() - 2));
    ++steps_;
    Draft draft = best_;
    for (const std::size_t car : order) take_out(draft, car);
    for (const std::size_t car : order) {
        if (work.spent()) return false;
        Problem rest = rest_of(problem_, draft.amps, car);
        ascent.charge(rest, car, share);
        const Plan plan = solve(rest);
        work.count(pricings_of(rest));
        set_car(draft, problem_, car, offered(plan));
    }
    return offer(std::move(draft), work);
}

}  // namespace lullwatt::plan
