#include "support/joint_checker.hpp"

#include <algorithm>
#include <cmath>

namespace lullwatt::support {
namespace {

using plan::CarPlan;
using plan::JointCar;
using plan::JointPlan;
using plan::JointProblem;
using plan::SharedRow;

// Long doubles are enough: amounts are compared to a billionth of a currency unit.
long double milliwatt_hours(const JointProblem& problem, const JointCar& car, std::size_t t, int amps) {
    return static_cast<long double>(car.per_ampere.count()) * amps *
           static_cast<long double>(problem.slots[t].length().count()) / 3.6L;
}

long double money_of(ExactAmount amount) { return static_cast<long double>(amount.atto()) / 1e18L; }

int drawn(const JointPlan& plan, const SharedRow& row, std::size_t t) {
    int sum = 0;
    for (const std::size_t car : row.cars) sum += plan.cars[car].slots[t].amps.count();
    return sum;
}

class Complaints {
  public:
    void expect(bool holds, const std::string& text) {
        if (!holds) wrong_.push_back(text);
    }
    std::vector<std::string> take() { return std::move(wrong_); }

  private:
    std::vector<std::string> wrong_;
};

int really_least(const JointCar& car) {
    return car.least == car.missing ? car.least.count() + 1 : car.least.count();
}

struct Sums {
    long double energy = 0, money = 0, longest = 0;
    int starts = 0;
};

Sums add_up(const JointProblem& problem, const JointCar& car, const CarPlan& plan) {
    Sums sums;
    int before = 0;
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const int amps = plan.slots[t].amps.count();
        const long double energy = milliwatt_hours(problem, car, t, amps);
        sums.energy += energy;
        sums.money += energy / 1e6L * static_cast<long double>(car.slots[t].price.count()) / 1e12L;
        sums.starts += amps > 0 && before == 0;
        before = amps;
        if (car.slots[t].most >= car.least)
            sums.longest = std::max(sums.longest, milliwatt_hours(problem, car, t, really_least(car)));
    }
    return sums;
}

void check_car(const JointProblem& problem, std::size_t index, const CarPlan& plan, Complaints& out) {
    const JointCar& car = problem.cars[index];
    const auto expect = [&](bool holds, const char* text) { out.expect(holds, car.name + ": " + text); };
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        const WholeAmps amps = plan.slots[t].amps;
        expect(amps == WholeAmps(0) || (amps >= car.least && amps <= car.slots[t].most),
               "0 or least to most in every slot");
        expect(amps != car.missing, "not the current that does not exist");
    }
    const Sums sums = add_up(problem, car, plan);
    const auto need = static_cast<long double>(car.need.count());
    const long double missing = std::max(0.0L, need - sums.energy);
    expect(std::abs(static_cast<long double>(plan.delivered.count()) - sums.energy) <= 1,
           "delivered as told");
    expect(std::abs(static_cast<long double>(plan.short_by.missing.count()) - missing) <= 1,
           "shortfall as told");
    expect(plan.short_by.need == car.need, "the need as asked");
    expect(need == 0 ? sums.energy == 0 : sums.energy < need + sums.longest,
           "less than one slot's least above the need");
    expect(plan.starts == sums.starts, "starts as told");
    expect(std::abs(money_of(plan.energy_cost) - sums.money) < 1e-9L, "energy cost as told");
    const long double starts = static_cast<long double>(car.start_cost.count()) / 1e6L * sums.starts;
    expect(std::abs(money_of(plan.cost) - sums.money - starts) < 1e-9L, "cost is energy and starts");
}

}  // namespace

std::vector<std::string> complaints(const JointProblem& problem, const JointPlan& plan) {
    Complaints out;
    out.expect(plan.cars.size() == problem.cars.size(), "one plan per car");
    for (const CarPlan& car : plan.cars)
        out.expect(car.slots.size() == problem.slots.size(), "one entry per slot");
    std::vector<std::string> wrong = out.take();
    if (!wrong.empty()) return wrong;

    long double money = 0;
    int starts = 0;
    std::vector<long double> shares;
    for (std::size_t i = 0; i < plan.cars.size(); ++i) {
        check_car(problem, i, plan.cars[i], out);
        money += money_of(plan.cars[i].cost);
        starts += plan.cars[i].starts;
        const auto need = static_cast<long double>(problem.cars[i].need.count());
        shares.push_back(need > 0 ? static_cast<long double>(plan.cars[i].short_by.missing.count()) / need
                                  : 0);
    }
    for (const SharedRow& row : problem.rows) {
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            out.expect(drawn(plan, row, t) <= std::max(0, row.capacity[t].count()),
                       "node " + std::to_string(row.node) + " leg " + std::to_string(row.leg) + " slot " +
                           std::to_string(t) + ": above its capacity");
        }
    }
    out.expect(std::abs(money_of(plan.cost) - money) < 1e-9L, "cost is the sum of the cars'");
    out.expect(plan.starts == starts, "starts are the sum of the cars'");
    out.expect(plan.lower_bound <= plan.cost, "the bound is not above the cost");
    std::ranges::sort(shares, std::greater<>{});
    out.expect(plan.shortfalls.size() == shares.size(), "one shortfall per car");
    for (std::size_t i = 0; i < std::min(shares.size(), plan.shortfalls.size()); ++i) {
        const auto& told = plan.shortfalls[i];
        const long double share = told.need.count() > 0 ? static_cast<long double>(told.missing.count()) /
                                                              static_cast<long double>(told.need.count())
                                                        : 0;
        out.expect(std::abs(share - shares[i]) < 1e-9L, "shortfalls by share, the greatest first");
    }
    return out.take();
}

bool headroom_binds(const JointProblem& problem, const JointPlan& plan) {
    return std::ranges::any_of(problem.rows, [&](const SharedRow& row) {
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            if (drawn(plan, row, t) != row.capacity[t].count()) continue;
            for (const std::size_t car : row.cars) {
                const WholeAmps amps = plan.cars[car].slots[t].amps;
                if (amps > WholeAmps(0) && amps < problem.cars[car].slots[t].most) return true;
            }
        }
        return false;
    });
}

}  // namespace lullwatt::support
