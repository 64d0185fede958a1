// Every joint plan of tiny problems is tried: shares that are short, then cost.
#include <algorithm>
#include <cstdint>
#include <functional>
#include <iostream>
#include <optional>
#include <vector>

#include "core/plan/joint.hpp"
#include "solver/cbc.hpp"
#include "support/catch.hpp"
#include "support/joint_checker.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using plan::JointCar;
using plan::JointProblem;

namespace {

// Energy in thirds of a milliwatt-hour and money in thirds of 1e-18, both whole.
struct Night {
    std::vector<int> amps;
    std::int64_t energy = 0;
    Wide money = 0;
};

std::vector<Night> nights(const JointProblem& problem, const JointCar& car) {
    std::vector<Night> out;
    std::int64_t longest = 0;
    std::vector<std::int64_t> one_ampere;
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        one_ampere.push_back(static_cast<std::int64_t>(car.per_ampere.count()) * 50 *
                             (problem.slots[t].length().count() / 60));
    }
    // As the planner has it: slots that headroom closes for the car even when it is alone do not count.
    const auto index = static_cast<std::size_t>(&car - problem.cars.data());
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        int most = car.slots[t].most.count();
        for (const auto& row : problem.rows) {
            if (std::ranges::find(row.cars, index) != row.cars.end())
                most = std::min(most, row.capacity[t].count());
        }
        if (most == car.missing.count()) --most;
        const int least = car.least.count() + (car.least == car.missing ? 1 : 0);
        if (most >= least) longest = std::max(longest, one_ampere[t] * least);
    }
    std::vector<int> amps(problem.slots.size());
    const std::function<void(std::size_t)> from = [&](std::size_t t) {
        if (t == amps.size()) {
            Night night{amps};
            for (std::size_t s = 0; s < amps.size(); ++s) {
                night.energy += one_ampere[s] * amps[s];
                night.money += Wide{one_ampere[s] * amps[s]} * car.slots[s].price.count();
                if (amps[s] > 0 && (s == 0 || amps[s - 1] == 0))
                    night.money += Wide{car.start_cost.count()} * 3'000'000'000'000;
            }
            const std::int64_t need = car.need.count() * 3;
            if (need > 0 ? night.energy < need + longest : night.energy == 0) out.push_back(std::move(night));
            return;
        }
        amps[t] = 0;
        from(t + 1);
        for (int a = car.least.count(); a <= car.slots[t].most.count(); ++a) {
            if (a == car.missing.count()) continue;
            amps[t] = a;
            from(t + 1);
        }
        amps[t] = 0;
    };
    from(0);
    return out;
}

void each_plan(const JointProblem& problem, const std::vector<std::vector<Night>>& choices,
               const std::function<void(const std::vector<const Night*>&)>& visit) {
    std::vector<const Night*> picked;
    std::vector<std::vector<int>> left;
    for (const auto& row : problem.rows) {
        left.emplace_back();
        for (const WholeAmps amps : row.capacity) left.back().push_back(amps.count());
    }
    const std::function<void()> next = [&] {
        const std::size_t car = picked.size();
        if (car == choices.size()) return visit(picked);
        for (const Night& night : choices[car]) {
            bool fits = true;
            for (std::size_t r = 0; r < left.size(); ++r) {
                if (std::ranges::find(problem.rows[r].cars, car) == problem.rows[r].cars.end()) continue;
                for (std::size_t t = 0; t < night.amps.size(); ++t)
                    fits = (left[r][t] -= night.amps[t]) >= 0 && fits;
            }
            if (fits) {
                picked.push_back(&night);
                next();
                picked.pop_back();
            }
            for (std::size_t r = 0; r < left.size(); ++r) {
                if (std::ranges::find(problem.rows[r].cars, car) == problem.rows[r].cars.end()) continue;
                for (std::size_t t = 0; t < night.amps.size(); ++t) left[r][t] += night.amps[t];
            }
        }
    };
    next();
}

std::int64_t missing(const JointCar& car, const Night& night) {
    return std::max<std::int64_t>(0, car.need.count() * 3 - night.energy);
}

// Shares as fractions of a common whole: the product of all needs fits 128 bits here.
using Shares = std::vector<Wide>;
Shares shares(const JointProblem& problem, const std::vector<const Night*>& plan) {
    Shares out;
    for (std::size_t i = 0; i < plan.size(); ++i) {
        Wide share = missing(problem.cars[i], *plan[i]);
        for (std::size_t j = 0; j < plan.size(); ++j) {
            if (j != i) share *= std::max<std::int64_t>(1, problem.cars[j].need.count());
        }
        out.push_back(share);
    }
    std::ranges::sort(out, std::greater<>{});
    return out;
}

struct Truth {
    std::optional<Shares> shares;
    std::optional<Wide> money;  // the least at the plan's own shortfalls
};

Truth truth(const JointProblem& problem, const plan::JointPlan& plan) {
    std::vector<std::vector<Night>> choices;
    std::vector<std::int64_t> allowed;
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        choices.push_back(nights(problem, problem.cars[i]));
        Night night;
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            night.energy += plan.cars[i].slots[t].amps.count() *
                            static_cast<std::int64_t>(problem.cars[i].per_ampere.count()) * 50 *
                            (problem.slots[t].length().count() / 60);
        }
        allowed.push_back(missing(problem.cars[i], night));
    }
    Truth out;
    each_plan(problem, choices, [&](const std::vector<const Night*>& tried) {
        Shares found = shares(problem, tried);
        if (!out.shares || found < *out.shares) out.shares = std::move(found);
        Wide money = 0;
        for (std::size_t i = 0; i < tried.size(); ++i) {
            if (missing(problem.cars[i], *tried[i]) > allowed[i]) return;
            money += tried[i]->money;
        }
        if (!out.money || money < *out.money) out.money = money;
    });
    return out;
}

Shares told(const JointProblem& problem, const plan::JointPlan& plan) {
    std::vector<Night> cars(problem.cars.size());
    std::vector<const Night*> picked;
    for (std::size_t i = 0; i < cars.size(); ++i) {
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            cars[i].energy += plan.cars[i].slots[t].amps.count() *
                              static_cast<std::int64_t>(problem.cars[i].per_ampere.count()) * 50 *
                              (problem.slots[t].length().count() / 60);
        }
        picked.push_back(&cars[i]);
    }
    return shares(problem, picked);
}

}  // namespace

TEST_CASE("joint: with a solver, shortfalls and cost are the best of every plan there is") {
    int proven = 0;
    int short_of = 0;
    constexpr int kInstances = 150;
    for (std::uint64_t seed = 1; seed <= kInstances; ++seed) {
        INFO("seed " << seed);
        const JointProblem problem = support::tiny_joint_instance(seed);
        const plan::JointPlan plan = plan::solve_joint(problem, {}, solver::cbc());
        CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
        const Truth best = truth(problem, plan);
        REQUIRE(best.money);
        short_of += best.shares->front() > 0;
        if (plan.shortfalls_proven) CHECK(told(problem, plan) == *best.shares);
        CHECK(told(problem, plan) >= *best.shares);
        CHECK(plan.lower_bound <= ExactAmount(*best.money / 3));
        if (plan.cost_proven() && plan.shortfalls_proven) {
            ++proven;
            CHECK((plan.cost - ExactAmount(*best.money / 3)).atto() <= 10'000'000'000'000);  // 1e-5
        }
    }
    CHECK(proven >= kInstances * 95 / 100);
    CHECK(short_of >= kInstances / 10);
}

TEST_CASE("joint: without a solver, bounds hold and what is called proven is the best of every plan") {
    int proven = 0;
    constexpr int kInstances = 150;
    for (std::uint64_t seed = 1001; seed <= 1000 + kInstances; ++seed) {
        INFO("seed " << seed);
        const JointProblem problem = support::tiny_joint_instance(seed);
        plan::Budget budget;
        budget.pricings = 600;
        const plan::JointPlan plan = plan::solve_joint(problem, budget);
        CHECK(support::complaints(problem, plan) == std::vector<std::string>{});
        CHECK(plan.proof == plan::Proof::priced);
        const Truth best = truth(problem, plan);
        REQUIRE(best.money);
        CHECK(told(problem, plan) >= *best.shares);
        if (plan.shortfalls_proven) CHECK(told(problem, plan) == *best.shares);
        CHECK(plan.lower_bound <= ExactAmount(*best.money / 3));
        if (plan.cost_proven() && plan.shortfalls_proven) ++proven;
    }
    CHECK(proven >= kInstances / 2);
    std::cout << "joint, tiny, without a solver: " << proven << " of " << kInstances << " proven\n";
}
