#include "core/plan/joint_any.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <string_view>
#include <utility>

#include "core/plan/joint_any_floor.hpp"
#include "core/plan/joint_any_search.hpp"
#include "core/plan/joint_rest.hpp"
#include "core/plan/solve.hpp"

namespace lullwatt::plan {
namespace {

// The caller's budget for the cars that the joint programme knows: the rest is for all together.
Budget part_of_budget(const Work& work) {
    constexpr std::int64_t kPart = 4;
    Budget part = work.budget();
    part.pricings /= kPart;
    part.nodes /= kPart;
    part.stop = [&work] { return work.hurried(); };
    return part;
}

std::size_t last_slot(const JointCar& car) {
    std::size_t last = 0;
    for (std::size_t t = 0; t < car.slots.size(); ++t) {
        if (car.slots[t].most >= car.least) last = t;
    }
    return last;
}

// Who must leave first chooses first; where that ties, by name.
std::vector<std::size_t> order_of(const JointProblem& problem) {
    std::vector<std::size_t> order(problem.cars.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::sort(order, {}, [&](std::size_t car) {
        return std::pair(last_slot(problem.cars[car]), std::string_view(problem.cars[car].name));
    });
    return order;
}

// Those of the cars that the joint programme knows, or the others.
std::vector<std::size_t> known(const JointProblem& problem, std::vector<std::size_t> cars, bool is_known) {
    std::erase_if(cars,
                  [&](std::size_t car) { return what_sets_apart(problem, car).has_value() == is_known; });
    return cars;
}

// Only the floors that are charged first.
JointProblem with_floors(JointProblem problem, const Draft& floors) {
    for (std::size_t car = 0; car < problem.cars.size(); ++car) {
        JointCar& one = problem.cars[car];
        one.floor_first = std::ranges::any_of(floors.amps[car], [](int amps) { return amps > 0; });
        if (!one.floor_first) one.floor = MilliwattHours{};
    }
    return problem;
}

class Any {
  public:
    Any(const JointProblem& problem, Work& work, const MixedSolver& solver)
        : work_(work),
          solver_(solver),
          order_(order_of(problem)),
          together_(known(problem, order_, true)),
          apart_(known(problem, order_, false)),
          floors_(floors_first(problem, apart_, together_)),
          problem_(with_floors(problem, floors_)),
          alone_(floors_),
          known_(floors_),
          search_(problem_, floors_) {}

    Settled plan() {
        // Whatever the budget: a plan, and each car by itself.
        Draft first = floors_;
        add(first, order_);
        (void)search_.offer(std::move(first), work_);
        for (const std::size_t car : order_) plan_anew(alone_, car, floors_.amps);
        set_ascent();

        // Shares before money: what follows may take all the time there is.
        if (!as_short_as_alone()) search_.even_out(work_);
        if (!proven() && !work_.spent()) try_both_turns();
        climb_and_search();
        return {.amps = search_.best().amps,
                .shortfalls_proven = shortfalls_proven(),
                .bound = bound(),
                .proof = of_ascent() ? Proof::priced : known_part_->proof};
    }

  private:
    Settled add_together(Draft& draft) {
        const Budget part = part_of_budget(work_);
        Work on_part(part);
        Settled settled = plan_together(part_of(problem_, together_, draft.amps), on_part, solver_);
        work_.count(on_part.used());
        for (std::size_t i = 0; i < together_.size(); ++i)
            set_car(draft, problem_, together_[i], settled.amps[i]);
        return settled;
    }

    void plan_anew(Draft& draft, std::size_t car, const JointAmps& beside) {
        const Problem rest = rest_of(problem_, beside, car);
        set_car(draft, car, solve(rest));
        work_.count(pricings_of(rest));
    }

    void add(Draft& draft, const std::vector<std::size_t>& cars) {
        for (const std::size_t car : cars) plan_anew(draft, car, draft.amps);
    }

    // The cars that the joint programme knows first, then the others; and the other way round.
    void try_both_turns() {
        known_part_ = add_together(known_);
        Draft known_first = known_;
        add(known_first, apart_);
        (void)search_.offer(std::move(known_first), work_);
        Draft known_last = floors_;
        add(known_last, apart_);
        (void)add_together(known_last);
        (void)search_.offer(std::move(known_last), work_);
    }

    [[nodiscard]] bool as_short_as_alone() const {
        return std::ranges::equal(search_.best().cars, alone_.cars, {}, &Objective::short_by,
                                  &Objective::short_by);
    }

    // Else what is told of plans that charge them at once is not told of this one.
    [[nodiscard]] bool floors_stand() const { return at_least(search_.best(), floors_); }

    // Every car that is apart as short as by itself, the others as short as where nobody else is.
    [[nodiscard]] bool short_as_in_parts() const {
        const auto stands = [&](std::size_t car, const Draft& like) {
            return search_.best().cars[car].short_by == like.cars[car].short_by;
        };
        return known_part_ &&
               std::ranges::all_of(apart_, [&](std::size_t car) { return stands(car, alone_); }) &&
               std::ranges::all_of(together_, [&](std::size_t car) { return stands(car, known_); });
    }
    [[nodiscard]] bool shortfalls_proven() const {
        const bool by_parts = short_as_in_parts() && known_part_->shortfalls_proven;
        return (as_short_as_alone() || by_parts) && floors_stand();
    }

    // The bound of those planned together with nothing beside them, and each of the others by itself.
    [[nodiscard]] std::optional<Wide> bound_by_parts() const {
        if (!short_as_in_parts() || !known_part_->bound || !floors_stand()) return std::nullopt;
        Wide sum = *known_part_->bound;
        for (const std::size_t car : apart_) {
            if (search_.best().cars[car].above_cap != alone_.cars[car].above_cap) return std::nullopt;
            sum += Wide{3} * alone_.cars[car].cost.atto();
        }
        return sum;
    }
    [[nodiscard]] bool of_ascent() const { return ascent_->bound() >= bound_by_parts(); }
    [[nodiscard]] std::optional<Wide> bound() const {
        return of_ascent() ? ascent_->bound() : bound_by_parts();
    }

    [[nodiscard]] bool closed() const {
        const auto least = bound();
        if (!least) return false;
        const auto amount = [](Wide thirds) { return static_cast<double>(thirds) / 3e18; };
        const Wide cost = Wide{3} * search_.best().cost().atto();
        return amount(cost - *least) <= 0.9e-6 * std::max(std::abs(amount(cost)), 0.01);
    }

    // Nothing is better, by whatever comes first.
    [[nodiscard]] bool proven() const {
        const bool caps_stand = std::ranges::equal(search_.best().cars, alone_.cars, {},
                                                   &Objective::above_cap, &Objective::above_cap);
        return closed() && shortfalls_proven() && caps_stand;
    }

    // Anew where the best plan is no longer what the bound is of.
    void set_ascent() {
        if (ascent_ && equally_good(like_, search_.best())) return;
        like_ = search_.best();
        ascent_.emplace(problem_, floors_, alone_, like_, solver_);
        ascent_->climb(like_.cost(), work_);
    }

    void climb_and_search() {
        constexpr int kClimbsPerSearch = 3;
        constexpr int kQuietEnough = 20;
        set_ascent();
        for (int round = 0, quiet = 0; quiet < kQuietEnough && !work_.spent() && !proven(); ++round) {
            const bool may_climb = !closed() && !ascent_->stuck();
            if (may_climb) ascent_->climb(search_.best().cost(), work_);
            if (may_climb && round % kClimbsPerSearch != 0) continue;
            const bool gained = search_.step(*ascent_, work_);
            quiet = gained || may_climb ? 0 : quiet + 1;
            set_ascent();
        }
    }

    Work& work_;
    const MixedSolver& solver_;
    std::vector<std::size_t> order_, together_, apart_;
    Draft floors_;  // what every plan charges at least
    JointProblem problem_;
    Draft alone_;  // each car by itself, beside the others' floors
    Draft known_;  // those that the joint programme knows, beside the others' floors
    std::optional<Settled> known_part_;
    AnySearch search_;
    Draft like_;  // what the ascent's bound is of
    std::optional<AnyAscent> ascent_;
};

}  // namespace

Settled plan_any(const JointProblem& problem, Work& work, const MixedSolver& solver) {
    return Any(problem, work, solver).plan();
}

}  // namespace lullwatt::plan
