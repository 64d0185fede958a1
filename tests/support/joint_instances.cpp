#include "support/joint_instances.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "support/instances.hpp"

namespace lullwatt::support {
namespace {

using plan::CarSlot;
using plan::JointCar;
using plan::JointProblem;
using plan::SharedRow;

constexpr std::int64_t kTenThousandth = 100'000'000;  // of the currency, as a Rate counts

std::vector<Rate> prices(JointFamily family, int slots, Dice& dice) {
    const std::int64_t low = dice.between(600, 1100);
    const std::int64_t middle = low + dice.between(200, 700);
    const std::int64_t high = middle + dice.between(200, 900);
    std::int64_t walk = dice.between(500, 2000);
    int last_hour = -1;
    std::vector<Rate> out;
    for (int t = 0; t < slots; ++t) {
        const int hour = (12 + t * 24 / slots) % 24;
        if (hour != last_hour) walk = std::max<std::int64_t>(100, walk + dice.between(-450, 450));
        last_hour = hour;
        std::int64_t price = hour < 6 || hour >= 23 ? low : hour >= 17 && hour < 21 ? high : middle;
        if (family == JointFamily::hourly) price = walk;
        if (family == JointFamily::restless) price = dice.between(500, 2500);
        std::int64_t rate = price * kTenThousandth;
        if (family == JointFamily::noise) rate += dice.between(-1000, 1000) * (kTenThousandth / 10);
        out.emplace_back(rate);
    }
    return out;
}

double milliwatt_hours(const JointProblem& problem, const JointCar& car, std::size_t t, double amps) {
    return car.per_ampere.count() * amps * static_cast<double>(problem.slots[t].length().count()) / 3.6;
}

std::vector<int> legs_of_car(int supply_legs, Dice& dice) {
    if (supply_legs == 1 || dice.one_in(3)) return {static_cast<int>(dice.between(0, supply_legs - 1))};
    if (supply_legs == 2) return {0, 1};
    return {0, 1, 2};
}

// A row of one leg: its capacity follows what its cars need per hour of their presence.
void add_row(JointProblem& problem, int node, int leg, std::vector<std::size_t> on, double generosity,
             Dice& dice) {
    if (on.empty()) return;
    double wanted = 0;  // amperes, were every need spread evenly over the time its car is there
    for (const std::size_t i : on) {
        double one_ampere = 0;
        for (std::size_t t = 0; t < problem.slots.size(); ++t) {
            if (problem.cars[i].slots[t].most.count() > 0)
                one_ampere += milliwatt_hours(problem, problem.cars[i], t, 1);
        }
        if (one_ampere > 0) wanted += static_cast<double>(problem.cars[i].need.count()) / one_ampere;
    }
    const double level = std::max(7.0, wanted * generosity);
    SharedRow row{.node = node, .leg = leg, .cars = std::move(on)};
    std::int64_t base = 0;
    const auto hour = problem.slots.size() / 24 + (problem.slots.size() < 24 ? 1 : 0);
    for (std::size_t t = 0; t < problem.slots.size(); ++t) {
        if (t % hour == 0) base = dice.between(-25, 25);
        const double amps =
            level * (1 + static_cast<double>(base) / 100) + static_cast<double>(dice.between(-2, 2));
        row.capacity.emplace_back(std::max(0, static_cast<int>(amps)));
    }
    problem.rows.push_back(std::move(row));
}

}  // namespace

std::string_view name(JointFamily family) {
    switch (family) {
        case JointFamily::time_of_use:
            return "time of use";
        case JointFamily::noise:
            return "noise";
        case JointFamily::hourly:
            return "hourly";
        case JointFamily::restless:
            return "restless";
    }
    return "";
}

JointProblem joint_instance(JointFamily family, int cars, int slots, std::uint64_t seed) {
    Dice dice(seed * 16 + static_cast<std::uint64_t>(family));
    JointProblem problem;
    Instant at{std::chrono::hours(24 * 365 * 56 + 12)};
    const std::chrono::minutes length(1440 / slots);
    for (int t = 0; t < slots; ++t, at += length) problem.slots.push_back({at, at + length});
    const std::vector<Rate> rates = prices(family, slots, dice);
    const int supply_legs = static_cast<int>(dice.between(1, 3));
    std::vector<std::vector<std::size_t>> on_leg(3), on_feeder(3);
    const bool feeder = dice.one_in(2);
    for (int i = 0; i < cars; ++i) {
        JointCar car;
        car.name = "car " + std::string(1, static_cast<char>('a' + i % 26)) + std::to_string(i / 26);
        const std::vector<int> legs = legs_of_car(supply_legs, dice);
        car.per_ampere = Watts(supply_legs == 2   ? (legs.size() == 2 ? 240 : 120)
                               : legs.size() == 3 ? 690
                                                  : 230);
        car.start_cost = Money(dice.one_in(6) ? 0 : dice.between(1, 8) * 10'000);
        if (family == JointFamily::restless) car.start_cost = Money(dice.between(4, 40) * 10'000);
        const auto most = static_cast<int>(dice.between(2, 6)) * 8;
        const auto arrive = static_cast<int>(dice.between(0, slots * 3 / 10));
        const auto leave = static_cast<int>(dice.between(slots * 5 / 10, slots * 7 / 10));
        const bool breaks = dice.one_in(4);
        const auto away = static_cast<int>(dice.between(arrive, leave));
        double fits = 0;
        for (int t = 0; t < slots; ++t) {
            const bool there = t >= arrive && t < leave && !(breaks && t >= away && t < away + slots / 12);
            car.slots.push_back({rates[static_cast<std::size_t>(t)], WholeAmps(there ? most : 0), {}});
            if (there) fits += milliwatt_hours(problem, car, static_cast<std::size_t>(t), most);
        }
        const double kwh = static_cast<double>(dice.between(80, 350)) / 10 * (legs.size() == 1 ? 0.5 : 1.0);
        car.need = MilliwattHours(std::llround(std::min(kwh * 1e6, fits * 0.8)));
        const bool below = feeder && !dice.one_in(3);
        for (const int leg : legs) {
            on_leg[static_cast<std::size_t>(leg)].push_back(static_cast<std::size_t>(i));
            if (below) on_feeder[static_cast<std::size_t>(leg)].push_back(static_cast<std::size_t>(i));
        }
        problem.cars.push_back(std::move(car));
    }
    const double generosity = dice.one_in(12) ? 0.7 : static_cast<double>(dice.between(120, 200)) / 100;
    for (int leg = 0; leg < supply_legs; ++leg) {
        add_row(problem, 0, leg, on_leg[static_cast<std::size_t>(leg)], generosity, dice);
        add_row(problem, 1, leg, on_feeder[static_cast<std::size_t>(leg)], generosity * 1.1, dice);
    }
    return problem;
}

JointProblem tiny_joint_instance(std::uint64_t seed) {
    Dice dice(seed);
    JointProblem problem;
    const auto slots = static_cast<int>(dice.between(2, 4));
    const auto cars = static_cast<int>(dice.between(2, slots == 4 ? 2 : 3));
    Instant at{std::chrono::hours(24 * 365 * 56)};
    const bool odd = dice.one_in(4);
    for (int t = 0; t < slots; ++t) {
        const std::chrono::minutes length(odd ? 10 * dice.between(1, 3) : 15);
        problem.slots.push_back({at, at + length});
        at += length;
    }
    SharedRow one{.node = 0, .leg = 0};
    SharedRow two{.node = 0, .leg = 1};
    for (int i = 0; i < cars; ++i) {
        JointCar car;
        car.name = std::string(1, static_cast<char>('c' - i));
        car.per_ampere = Watts(dice.one_in(2) ? 240 : 120);
        car.least = WholeAmps(static_cast<int>(dice.between(2, 3)));
        // Tiny currents have a gap of their own where 52 A would be.
        if (seed % 3 == 0) car.missing = WholeAmps(static_cast<int>(dice.between(2, 5)));
        car.start_cost = Money(dice.between(0, 3) * 5'000);
        car.preference = dice.one_in(2) ? plan::Preference::early : plan::Preference::late;
        double fits = 0;
        for (int t = 0; t < slots; ++t) {
            const int most = dice.one_in(6) ? 0 : static_cast<int>(dice.between(2, 5));
            car.slots.push_back({Rate((dice.between(0, 8) - (dice.one_in(5) ? 6 : 0)) * 100 * kTenThousandth),
                                 WholeAmps(most),
                                 {}});
            fits += milliwatt_hours(problem, car, static_cast<std::size_t>(t), most);
        }
        car.need = MilliwattHours(std::llround(fits * static_cast<double>(dice.between(20, 90)) / 100));
        if (!dice.one_in(3)) one.cars.push_back(static_cast<std::size_t>(i));
        if (one.cars.empty() || one.cars.back() != static_cast<std::size_t>(i) || dice.one_in(2))
            two.cars.push_back(static_cast<std::size_t>(i));
        problem.cars.push_back(std::move(car));
    }
    for (int t = 0; t < slots; ++t) {
        one.capacity.emplace_back(static_cast<int>(dice.between(2, 8)));
        two.capacity.emplace_back(static_cast<int>(dice.between(2, 8)));
    }
    problem.rows = {one, two};
    return problem;
}

}  // namespace lullwatt::support
