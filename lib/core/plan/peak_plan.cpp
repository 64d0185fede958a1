#include "core/plan/peak_plan.hpp"

#include <algorithm>
#include <limits>
#include <optional>
#include <tuple>
#include <utility>

#include "core/plan/block.hpp"
#include "core/plan/budget.hpp"
#include "core/plan/cap_search.hpp"
#include "core/plan/charging.hpp"
#include "core/plan/evaluate.hpp"
#include "core/plan/grid.hpp"
#include "core/plan/programme.hpp"
#include "core/plan/reasons.hpp"
#include "core/plan/solve.hpp"
#include "core/plan/table.hpp"

namespace lullwatt::plan {
namespace {

constexpr std::size_t kMostTries = 400;     // all of these are ours
constexpr std::size_t kMostSlowTries = 60;  // with the whole table
constexpr double kMostSteps = 1e9;          // of one plan within budgets
constexpr double kMostKept = 2.5e7;         // numbers it keeps
constexpr double kMostStepsInAll = 4e9;

// How each slot's energy is held below the caps.
enum class HoldSlots : std::uint8_t {
    alone,     // a slot alone may fill its interval: no plan under the caps is lost
    together,  // all of an interval at that current fill it: nothing else is kept
};

class UnderPeaks {
  public:
    UnderPeaks(const Problem& problem, const std::vector<PeakCharge>& charges)
        : problem_(problem), charges_(charges) {
        if (problem.manner == Manner::one_block) return;
        const bool plain = takes_what_it_is_offered(problem) && !problem.forced;
        searches_ = takes_what_it_is_offered(problem) && !problem.price_cap;
        grid_ = make_grid(problem, kNoCap);
        if (!plain || !problem.price_cap) return;
        // Where the need fits below the price cap, what does not is never better.
        const Grid refused = make_grid(problem, kNoCap, AboveCap::refused);
        if (!carries_the_need(refused)) return;
        grid_ = refused;
        searches_ = true;
    }

    PeakPlan best() {
        std::vector<PeakRange> ranges;
        for (const PeakCharge& charge : charges_) {
            const Milliwatts most = reached(charge, problem_, every_most());
            ranges.push_back(
                {charge.free, most, [&charge](Milliwatts peak) { return charge.added_thirds(peak); }});
        }
        const CapsFound found = search_caps(
            ranges,
            [this](const Caps& caps, const std::optional<CapKey>& enough) { return under(caps, enough); },
            searches_ || grid_.slots.empty() ? kMostTries : kMostSlowTries);
        PeakPlan best{
            .plan = plans_[found.best->tag], .peaks = found.best->peaks, .bound = found.bound.money};
        best.proven = found.bound == found.best->key;
        if (problem_.preference == Preference::gentle && searches_) make_gentle(best);
        return best;
    }

  private:
    [[nodiscard]] std::vector<WholeAmps> every_most() const {
        std::vector<WholeAmps> most;
        for (const Slot& slot : problem_.slots)
            most.push_back(usable(problem_, slot) ? slot.most : WholeAmps(0));
        return most;
    }

    [[nodiscard]] static bool carries_the_need(const Grid& grid) {
        std::int64_t units = 0;
        for (const GridSlot& slot : grid.slots) units += std::int64_t{slot.hi} * slot.weight;
        return units >= grid.need;
    }

    // The most each slot may carry under the caps.
    [[nodiscard]] std::vector<int> limits(const Caps& caps, HoldSlots hold) const {
        std::vector<int> limits;
        for (const Slot& slot : problem_.slots) limits.push_back(std::max(slot.most.count(), 0));
        const Wide tpm = thirds_per_ampere_minute(problem_);
        for (std::size_t c = 0; c < charges_.size(); ++c) {
            for (const CountedInterval& interval : charges_[c].intervals) {
                const Wide room = room_thirds(interval, caps[c]);
                Wide all = 0;
                for (std::size_t t = interval.first; t < interval.last; ++t)
                    all += minutes(problem_.slots[t]);
                for (std::size_t t = interval.first; t < interval.last; ++t) {
                    const Wide span = hold == HoldSlots::together ? all : Wide{minutes(problem_.slots[t])};
                    limits[t] = static_cast<int>(std::min<Wide>(limits[t], room / (span * tpm)));
                }
            }
        }
        return limits;
    }

    // Empty where a slot that must charge cannot.
    [[nodiscard]] std::optional<Grid> limited(const std::vector<int>& limits) const {
        Grid grid = grid_;
        for (std::size_t t = 0; t < grid.slots.size(); ++t) {
            GridSlot& slot = grid.slots[t];
            if (slot.hi <= limits[t]) continue;
            slot.hi = at_most(problem_, WholeAmps(limits[t])).count();
            if (slot.missing >= slot.hi) slot.missing = 0;
            if (slot.hi >= slot.lo) continue;
            if (!slot.may_rest) return std::nullopt;
            slot.hi = 0;
        }
        return grid;
    }

    // What intervals may take together where their slots could take more.
    [[nodiscard]] std::vector<Budget> budgets(const Caps& caps, const Grid& grid) const {
        std::vector<Budget> all;
        for (std::size_t c = 0; c < charges_.size(); ++c) {
            for (const CountedInterval& interval : charges_[c].intervals) {
                std::int64_t carried = 0;
                for (std::size_t t = interval.first; t < interval.last; ++t)
                    carried += std::int64_t{grid.slots[t].hi} * grid.slots[t].weight;
                const Wide room = room_thirds(interval, caps[c]) / grid.unit_thirds;
                if (room < carried)
                    all.push_back({interval.first, interval.last, static_cast<std::int64_t>(room)});
            }
        }
        std::ranges::sort(all, [](const Budget& a, const Budget& b) {
            return std::tuple(a.first, -static_cast<std::ptrdiff_t>(a.last), a.units) <
                   std::tuple(b.first, -static_cast<std::ptrdiff_t>(b.last), b.units);
        });
        // Of budgets that overlap the first stays: what is lost only lowers the bound.
        std::vector<Budget> kept;
        for (const Budget& budget : all) {
            if (kept.empty() || kept.back().last <= budget.first) kept.push_back(budget);
        }
        return kept;
    }

    struct Found {
        CapKey key;
        Plan plan;
    };

    [[nodiscard]] std::optional<Found> found(std::optional<GridPlan> plan) const {
        if (!plan) return std::nullopt;
        return Found{key_of(plan->cost), make_plan(problem_, plan->amps, grid_.money_thirds(plan->cost))};
    }

    [[nodiscard]] CapKey key_of(Wide cost) const {
        const Wide within = grid_.within_cap(cost);
        const Wide money = floor_quotient(within, grid_.per_money);
        return {.above = grid_.units_above(cost),
                .money = money * grid_.thirds_per_money,
                .rest = within - money * grid_.per_money};
    }

    [[nodiscard]] std::optional<Found> by_block(const std::vector<int>& limits) const {
        Problem within = problem_;
        for (std::size_t t = 0; t < limits.size(); ++t)
            within.slots[t].most = at_most(problem_, WholeAmps(limits[t]));
        Plan plan = best_block(within);
        if (plan.objective.short_by > MilliwattHours{}) return std::nullopt;
        const CapKey key{.above = plan.objective.above_cap.count(),
                         .money = plan.objective.cost.atto() * 3,
                         .rest = plan.objective.preference};
        return Found{key, std::move(plan)};
    }

    // The best plan with no slot above its limit; the intervals' budgets aside.
    [[nodiscard]] std::optional<Found> by_slot(const std::vector<int>& limits) const {
        if (problem_.manner == Manner::one_block) return by_block(limits);
        const auto grid = limited(limits);
        if (!grid || !carries_the_need(*grid)) return std::nullopt;
        if (searches_ && !problem_.forced) return found(best_plan(*grid));
        return found(best_plan_by_table(problem_, *grid));
    }

    [[nodiscard]] Caps peaks_of(const Plan& plan) const {
        const auto drawn = drawn_of(plan);
        Caps peaks;
        for (const PeakCharge& charge : charges_) peaks.push_back(reached(charge, problem_, drawn));
        return peaks;
    }

    CapCandidate keep(Found found) {
        CapCandidate candidate{.key = found.key, .peaks = peaks_of(found.plan), .tag = plans_.size()};
        plans_.push_back(std::move(found.plan));
        return candidate;
    }

    static bool within(const Caps& peaks, const Caps& caps) {
        for (std::size_t c = 0; c < caps.size(); ++c) {
            if (peaks[c] > caps[c]) return false;
        }
        return true;
    }

    UnderCaps under(const Caps& caps, const std::optional<CapKey>& enough) {
        UnderCaps under;
        const auto alone_limits = limits(caps, HoldSlots::alone);
        auto alone = by_slot(alone_limits);
        if (!alone) return under;
        under.least = alone->key;
        const auto offer = [&](Found found) {
            CapCandidate candidate = keep(std::move(found));
            const bool attains = within(candidate.peaks, caps) && candidate.key == *under.least;
            if (attains) under.reached = candidate.peaks;
            under.plans.push_back(std::move(candidate));
            return attains;
        };
        if (offer(*std::move(alone)) || (enough && *under.least >= *enough)) return under;
        auto together = by_slot(limits(caps, HoldSlots::together));
        if (together && offer(*std::move(together))) return under;
        if (problem_.manner == Manner::one_block) return under;
        const auto grid = limited(alone_limits);
        const auto shared = budgets(caps, *grid);
        const auto bound = bound_within(*grid, shared);
        if (!bound) return {.least = {}, .reached = {}, .plans = std::move(under.plans)};
        under.least = std::max(*under.least, key_of(*bound));
        if (!searches_ || (enough && *under.least >= *enough)) return under;
        const Effort effort = effort_within(*grid, shared);
        if (effort.steps > kMostSteps || effort.kept > kMostKept || steps_ + effort.steps > kMostStepsInAll)
            return under;
        steps_ += effort.steps;
        auto exact = found(best_plan_within(*grid, shared));
        if (!exact) return {.least = {}, .reached = {}, .plans = std::move(under.plans)};
        under.least = exact->key;
        offer(*std::move(exact));
        return under;
    }

    // The least greatest current beyond the floor that worsens neither money nor starts under the peaks that
    // were chosen.
    void make_gentle(PeakPlan& best) {
        const Wide fewest = best.plan.objective.starts;
        int high = greatest(best.plan);
        int low = problem_.least.count() - 1;
        while (high - low > 1) {
            int middle = low + (high - low) / 2;
            if (middle == problem_.missing.count() && --middle == low) break;
            auto tried = gently(best.peaks, middle);
            if (tried && tried->plan.objective.cost == best.plan.objective.cost &&
                tried->plan.objective.starts == fewest) {
                best.plan = std::move(tried->plan);
                best.peaks = peaks_of(best.plan);
                high = middle;
            } else {
                low = middle;
            }
        }
    }
    [[nodiscard]] static int greatest(const Plan& plan) {
        int most = 0;
        for (const PlannedSlot& slot : plan.slots) most = std::max(most, slot.amps.count());
        return most;
    }
    [[nodiscard]] std::optional<Found> gently(const Caps& caps, int most) const {
        auto limits = this->limits(caps, HoldSlots::alone);
        for (std::size_t t = 0; t < limits.size(); ++t) {
            const GridSlot& slot = grid_.slots[t];
            limits[t] = std::min(limits[t], std::max(most, slot.may_rest ? 0 : slot.lo));
        }
        const auto grid = limited(limits);
        if (!grid || !carries_the_need(*grid)) return std::nullopt;
        const auto shared = budgets(caps, *grid);
        const Effort effort = effort_within(*grid, shared);
        if (effort.steps > kMostSteps || effort.kept > kMostKept) return std::nullopt;
        return found(best_plan_within(*grid, shared));
    }

    const Problem& problem_;
    const std::vector<PeakCharge>& charges_;
    bool searches_ = false;  // the search of programme.hpp and the budgets of budget.hpp know this car
    Grid grid_;
    std::vector<Plan> plans_;
    double steps_ = 0;
};

}  // namespace

PeakPlan solve_under_peaks(const Problem& asked, const std::vector<PeakCharge>& charges) {
    const Problem problem = settable(asked);
    Plan free = solve(problem);
    PeakPlan plain{.plan = std::move(free), .peaks = {}};
    plain.bound = plain.plan.lower_bound.atto() * 3;
    const auto drawn = drawn_of(plain.plan);
    Wide added = 0;
    for (const PeakCharge& charge : charges) {
        plain.peaks.push_back(reached(charge, problem, drawn));
        added += charge.added_thirds(plain.peaks.back());
    }
    const bool nothing = problem.need <= MilliwattHours{};
    if (added == 0 || nothing) return plain;
    if (plain.plan.objective.short_by > MilliwattHours{}) {
        // Least short before money. A car that takes what it is offered has one such plan, with all there is.
        plain.proven = takes_what_it_is_offered(problem) && problem.manner == Manner::driven;
        if (plain.proven) plain.bound += added;
        return plain;
    }
    return UnderPeaks(problem, charges).best();
}

Problem within_peaks(Problem problem, const Plan& plan, const std::vector<PeakCharge>& charges,
                     const std::vector<Milliwatts>& peaks) {
    const Wide tpm = thirds_per_ampere_minute(problem);
    for (std::size_t c = 0; c < charges.size(); ++c) {
        const PeakCharge& charge = charges[c];
        // The greatest peak that costs no more; charges by whole kilowatts leave some room.
        constexpr std::int64_t kFurthest = 1'000'000'000;  // 1 MW above
        std::int64_t low = peaks[c].count();
        std::int64_t high = low + kFurthest;
        const Wide cost = charge.added_thirds(peaks[c]);
        while (high - low > 1) {
            const std::int64_t middle = low + (high - low) / 2;
            (charge.added_thirds(Milliwatts(middle)) == cost ? low : high) = middle;
        }
        for (const CountedInterval& interval : charge.intervals) {
            Wide left = room_thirds(interval, Milliwatts(low));
            for (std::size_t t = interval.first; t < interval.last; ++t)
                left -= Wide{plan.slots[t].drawn.count()} * minutes(problem.slots[t]) * tpm;
            for (std::size_t t = interval.first; t < interval.last; ++t) {
                Slot& slot = problem.slots[t];
                const int planned = plan.slots[t].amps.count();
                const Wide more = std::max<Wide>(left, 0) / (minutes(slot) * tpm);
                const int most = static_cast<int>(std::min<Wide>(slot.most.count(), planned + more));
                if (most >= slot.most.count()) continue;
                slot.most = WholeAmps(most);
                slot.bound = {BoundKind::peak, static_cast<int>(c)};
            }
        }
    }
    return problem;
}

}  // namespace lullwatt::plan
