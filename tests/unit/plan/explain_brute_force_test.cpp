// Why a slot is as it is: the loss that is told is that of the best of all plans that do otherwise there.
#include <algorithm>
#include <functional>
#include <optional>
#include <tuple>

#include "core/plan/evaluate.hpp"
#include "core/plan/explain.hpp"
#include "core/plan/grid.hpp"
#include "support/catch.hpp"
#include "support/instances.hpp"

using namespace lullwatt;
using namespace lullwatt::plan;
using support::Dice;

namespace {

Problem tiny(std::uint64_t seed) {
    Dice dice(seed);
    Problem problem;
    problem.per_ampere = Watts(240);
    problem.least = WholeAmps(2);
    problem.start_cost = Money(dice.between(0, 3) * 2'000);
    problem.wakes = !dice.one_in(4);
    if (dice.one_in(4)) problem.price_cap = Rate(100'000'000'000);
    if (dice.one_in(4))
        problem.taper = {{WattHours(dice.between(20, 60)), WholeAmps(3)}, {WattHours(80), WholeAmps(1)}};
    Instant at{Seconds{0}};
    int units = 0;
    for (std::int64_t t = dice.between(1, 5); t > 0; --t) {
        const Instant end = at + std::chrono::minutes(5);
        const WholeAmps most(static_cast<int>(dice.between(0, 4)));
        problem.slots.push_back({{at, end}, Rate(dice.between(-1, 3) * 100'000'000'000), most, {}});
        units += most >= problem.least ? most.count() : 0;
        at = end;
    }
    problem.need = WattHours(20 * dice.between(1, units + 2));
    return problem;
}

using Key = std::tuple<std::int64_t, Wide, Wide, int>;
Key key_of(const Objective& objective) {
    return {objective.short_by.count(), objective.above_cap.count(), objective.cost.atto(), objective.starts};
}

// The best of all plans that charge in `slot`, or of all that rest there.
std::optional<Key> best_of_all(const Problem& problem, std::size_t slot, bool charging) {
    const Wide limit = thirds(problem.need) + Wide{2} * 5 * 240 * 50;  // less than one slot's least beyond
    std::vector<int> amps(problem.slots.size());
    std::optional<Key> best;
    const std::function<void(std::size_t, bool, bool)> choose = [&](std::size_t t, bool on, bool slept) {
        if (t == amps.size()) {
            const Tally sum = tally(problem, amps);
            for (std::size_t i = 0; i < amps.size(); ++i) {
                if (amps[i] > 2 && sum.drawn[i].count() < amps[i]) return;
                if (amps[i] > 0 && sum.drawn[i] == WholeAmps(0)) return;
            }
            if ((amps[slot] > 0) != charging || sum.net >= limit) return;
            const Key key = key_of(objective_of(problem, sum));
            if (!best || key < *best) best = key;
            return;
        }
        for (int here = 0; here <= problem.slots[t].most.count(); ++here) {
            if (here == 1 || (here > 0 && slept)) continue;
            amps[t] = here;
            choose(t + 1, here > 0, slept || (on && here == 0 && !problem.wakes));
        }
        amps[t] = 0;
    };
    choose(0, false, false);
    return best;
}

}  // namespace

TEST_CASE("what a slot would cost the other way is what the best of all such plans costs") {
    int charging = 0;
    int resting = 0;
    int impossible = 0;
    for (std::uint64_t seed = 1; seed <= 1'500; ++seed) {
        const Problem problem = tiny(seed);
        const Plan plan = solve(problem);
        for (std::size_t slot = 0; slot < plan.slots.size(); ++slot) {
            INFO("seed " << seed << ", slot " << slot);
            const bool on = plan.slots[slot].amps > WholeAmps(0);
            const auto other = otherwise(problem, plan, slot);
            const auto best = best_of_all(problem, slot, !on);
            REQUIRE(other.has_value() == best.has_value());
            if (!other) {
                ++impossible;
                continue;
            }
            (on ? charging : resting) += 1;
            CHECK(key_of(other->objective) == *best);
            CHECK(key_of(plan.objective) <= key_of(other->objective));
        }
    }
    CHECK(charging > 1'000);
    CHECK(resting > 500);
    CHECK(impossible > 200);
}
