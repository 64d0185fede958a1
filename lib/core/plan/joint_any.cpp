#include "core/plan/joint_any.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

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

class Any {
  public:
    Any(const JointProblem& problem, Work& work, const MixedSolver& solver)
        : problem_(problem),
          work_(work),
          solver_(solver),
          alone_(empty_draft(problem)),
          known_(alone_),
          search_(problem, alone_) {
        for (std::size_t i = 0; i < problem.cars.size(); ++i) order_.push_back(i);
        // Who must leave first chooses first; where that ties, by name.
        std::ranges::sort(order_, [&](std::size_t a, std::size_t b) {
            const std::size_t one = last_slot(a);
            const std::size_t other = last_slot(b);
            return one != other ? one < other : problem_.cars[a].name < problem_.cars[b].name;
        });
        for (const std::size_t car : order_)
            (what_sets_apart(problem, car) ? apart_ : together_).push_back(car);
    }

    Settled plan() {
        // Whatever the budget: a plan, and each car by itself.
        Draft first = empty_draft(problem_);
        add(first, order_);
        (void)search_.offer(std::move(first), work_);
        const JointAmps nothing = empty_draft(problem_).amps;
        for (const std::size_t car : order_) plan_anew(alone_, car, nothing);
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
    [[nodiscard]] std::size_t last_slot(std::size_t car) const {
        std::size_t last = 0;
        const auto& slots = problem_.cars[car].slots;
        for (std::size_t t = 0; t < slots.size(); ++t) {
            if (slots[t].most >= problem_.cars[car].least) last = t;
        }
        return last;
    }

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
        Draft known_last = empty_draft(problem_);
        add(known_last, apart_);
        (void)add_together(known_last);
        (void)search_.offer(std::move(known_last), work_);
    }

    [[nodiscard]] bool as_short_as_alone() const {
        return std::ranges::equal(search_.best().cars, alone_.cars, {}, &Objective::short_by,
                                  &Objective::short_by);
    }

    [[nodiscard]] bool any_floor() const {
        return std::ranges::any_of(problem_.cars,
                                   [](const JointCar& car) { return car.floor > MilliwattHours{}; });
    }

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
        return (as_short_as_alone() || by_parts) && !any_floor();
    }

    // The bound of those planned together with nothing beside them, and each of the others by itself.
    [[nodiscard]] std::optional<Wide> bound_by_parts() const {
        if (!short_as_in_parts() || !known_part_->bound || any_floor()) return std::nullopt;
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
        ascent_.emplace(problem_, alone_, like_, solver_);
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

    const JointProblem& problem_;
    Work& work_;
    const MixedSolver& solver_;
    std::vector<std::size_t> order_, together_, apart_;
    Draft alone_;  // each car by itself
    Draft known_;  // those that the joint programme knows, with nothing beside them
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
