#include "reference/plan/joint_milp.hpp"

#include <algorithm>
#include <cmath>

namespace lullwatt::reference {
namespace {

using plan::JointCar;
using plan::JointProblem;

double minutes(const JointProblem& problem, int t) {
    return static_cast<double>(problem.slots[static_cast<std::size_t>(t)].length().count()) / 60;
}
double ampere_minutes(const JointCar& car, MilliwattHours energy) {
    return static_cast<double>(energy.count()) * 60 / 1000 / car.per_ampere.count();
}

// Columns of a car: amperes, on, start of each slot, car after car.
struct Columns {
    explicit Columns(const JointProblem& problem) : count(static_cast<int>(problem.slots.size())) {}
    [[nodiscard]] int amps(std::size_t car, int t) const { return 3 * count * static_cast<int>(car) + t; }
    [[nodiscard]] int on(std::size_t car, int t) const { return amps(car, t) + count; }
    [[nodiscard]] int start(std::size_t car, int t) const { return amps(car, t) + 2 * count; }
    int count;
};

int add_row(Milp& m, double low, double high) {
    m.rows.push_back({low, high});
    return static_cast<int>(m.rows.size()) - 1;
}

// What the rows leave a car that is alone.
WholeAmps most_alone(const JointProblem& problem, std::size_t car, std::size_t t) {
    WholeAmps most = problem.cars[car].slots[t].most;
    for (const plan::SharedRow& row : problem.rows) {
        if (std::ranges::find(row.cars, car) != row.cars.end()) most = std::min(most, row.capacity[t]);
    }
    return most;
}

// The least current a car can really take, and the most a slot can carry of it.
int really_least(const JointCar& car) {
    return car.least == car.missing ? car.least.count() + 1 : car.least.count();
}
bool usable(const JointProblem& problem, std::size_t car, std::size_t t) {
    const WholeAmps alone = most_alone(problem, car, t);
    const WholeAmps most = alone == problem.cars[car].missing ? alone - WholeAmps(1) : alone;
    return most.count() >= really_least(problem.cars[car]);
}

// No solution carries `missing`: a column says whether the amperes are above it.
void forbid(Milp& m, int amps, int missing, double most) {
    const int above = static_cast<int>(m.columns.size());
    m.columns.push_back({0, 1, 0, true});
    const double infinite = std::numeric_limits<double>::infinity();
    const int up = add_row(m, -infinite, missing - 1);  // amps <= missing − 1 + (most − missing + 1) × above
    m.terms.push_back({up, amps, 1});
    m.terms.push_back({up, above, -(most - missing + 1)});
    const int down = add_row(m, 0, infinite);  // amps >= (missing + 1) × above
    m.terms.push_back({down, amps, 1});
    m.terms.push_back({down, above, -(missing + 1.0)});
}

// Everything but the needs and the costs.
Milp limits(const JointProblem& problem) {
    const Columns at(problem);
    const double infinite = std::numeric_limits<double>::infinity();
    Milp m;
    m.columns.resize(problem.cars.size() * 3 * static_cast<std::size_t>(at.count));
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        const JointCar& car = problem.cars[i];
        for (int t = 0; t < at.count; ++t) {
            const auto s = static_cast<std::size_t>(t);
            const bool open = car.need > MilliwattHours{} && usable(problem, i, s);
            const double most = open ? most_alone(problem, i, s).count() : 0;
            if (open && car.missing.count() <= most) forbid(m, at.amps(i, t), car.missing.count(), most);
            m.columns[static_cast<std::size_t>(at.amps(i, t))] = {0, most, 0, true};
            m.columns[static_cast<std::size_t>(at.on(i, t))] = {0, most > 0 ? 1.0 : 0.0, 0, true};
            m.columns[static_cast<std::size_t>(at.start(i, t))] = {0, 1, 0, false};
            const int at_most = add_row(m, -infinite, 0);
            m.terms.push_back({at_most, at.amps(i, t), 1});
            m.terms.push_back({at_most, at.on(i, t), -most});
            const int at_least = add_row(m, 0, infinite);
            m.terms.push_back({at_least, at.amps(i, t), 1});
            m.terms.push_back({at_least, at.on(i, t), -static_cast<double>(really_least(car))});
            const int starts = add_row(m, 0, infinite);
            m.terms.push_back({starts, at.start(i, t), 1});
            m.terms.push_back({starts, at.on(i, t), -1});
            if (t > 0) m.terms.push_back({starts, at.on(i, t - 1), 1});
        }
    }
    for (const plan::SharedRow& row : problem.rows) {
        for (int t = 0; t < at.count; ++t) {
            const int together = add_row(m, -infinite, row.capacity[static_cast<std::size_t>(t)].count());
            for (const std::size_t car : row.cars) m.terms.push_back({together, at.amps(car, t), 1});
        }
    }
    return m;
}

std::vector<double> delivered(const JointProblem& problem, const std::vector<double>& values) {
    const Columns at(problem);
    std::vector<double> out;
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        double sum = 0;
        for (int t = 0; t < at.count; ++t)
            sum += std::round(values[static_cast<std::size_t>(at.amps(i, t))]) * minutes(problem, t);
        out.push_back(sum);
    }
    return out;
}

}  // namespace

Milp joint_milp(const JointProblem& problem, const std::vector<MilliwattHours>& short_by) {
    const Columns at(problem);
    Milp m = limits(problem);
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        const JointCar& car = problem.cars[i];
        double longest = 0;
        for (int t = 0; t < at.count; ++t) {
            const auto s = static_cast<std::size_t>(t);
            if (usable(problem, i, s)) longest = std::max(longest, minutes(problem, t));
            m.columns[static_cast<std::size_t>(at.amps(i, t))].cost =
                static_cast<double>(car.slots[s].price.count()) / 1e5 * car.per_ampere.count() / 1000 *
                minutes(problem, t) / 60;
            m.columns[static_cast<std::size_t>(at.start(i, t))].cost =
                static_cast<double>(car.start_cost.count()) * 10;
        }
        // Rounded to whole ampere-minutes, which is what whole amperes bring.
        const double need = ampere_minutes(car, car.need);
        const double least = std::ceil(need - ampere_minutes(car, short_by[i]) - 1e-4);
        const double below = std::ceil(need - 1e-4) + longest * really_least(car) - 1;
        const int energy = add_row(m, least, std::max(least, below));
        for (int t = 0; t < at.count; ++t) m.terms.push_back({energy, at.amps(i, t), minutes(problem, t)});
        if (least <= 0) continue;
        const int some_start = add_row(m, 1, std::numeric_limits<double>::infinity());
        for (int t = 0; t < at.count; ++t) m.terms.push_back({some_start, at.start(i, t), 1});
    }
    return m;
}

Milp joint_shortfall_milp(const JointProblem& problem) {
    const Columns at(problem);
    Milp m = limits(problem);
    const int share = static_cast<int>(m.columns.size());
    m.columns.push_back({0, 1, 1, false});
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        const double need = ampere_minutes(problem.cars[i], problem.cars[i].need);
        if (need <= 0) continue;
        const int energy = add_row(m, 1, std::numeric_limits<double>::infinity());
        for (int t = 0; t < at.count; ++t)
            m.terms.push_back({energy, at.amps(i, t), minutes(problem, t) / need});
        m.terms.push_back({energy, share, 1});
    }
    return m;
}

double joint_cost(const JointProblem& problem, const std::vector<double>& values) {
    const Columns at(problem);
    double cost = 0;
    for (std::size_t i = 0; i < problem.cars.size(); ++i) {
        const JointCar& car = problem.cars[i];
        bool on = false;
        for (int t = 0; t < at.count; ++t) {
            const double amps = std::round(values[static_cast<std::size_t>(at.amps(i, t))]);
            cost += car.per_ampere.count() * amps * minutes(problem, t) / 60 / 1000 *
                    static_cast<double>(car.slots[static_cast<std::size_t>(t)].price.count()) / 1e12;
            if (amps > 0 && !on) cost += static_cast<double>(car.start_cost.count()) / 1e6;
            on = amps > 0;
        }
    }
    return cost;
}

double joint_shortfall(const JointProblem& problem, const std::vector<double>& values) {
    const std::vector<double> got = delivered(problem, values);
    double greatest = 0;
    for (std::size_t i = 0; i < got.size(); ++i) {
        const double need = ampere_minutes(problem.cars[i], problem.cars[i].need);
        if (need > 0) greatest = std::max(greatest, 1 - got[i] / need);
    }
    return greatest;
}

}  // namespace lullwatt::reference
