// One planner's work on a fixed night, for counting its instructions: plan_counts CASE.
#include <iostream>
#include <string>

#include "core/plan/solve.hpp"
#include "support/instances.hpp"

using namespace lullwatt;
using support::Family;

namespace {

plan::Problem night(Family family) { return support::instance(family, 288, 7'001); }

// A night whose battery tapers and whose charger loses 200 W.
plan::Problem tapering() {
    plan::Problem problem = night(Family::hourly);
    problem.per_ampere = Watts(240);
    problem.overhead = Watts(200);
    problem.taper = {{MilliwattHours(problem.need.count() / 2), WholeAmps(12)},
                     {MilliwattHours(problem.need.count() * 3 / 4), WholeAmps(8)}};
    return problem;
}

plan::Problem sleeping() {
    plan::Problem problem = night(Family::noise);
    problem.wakes = false;
    return problem;
}

}  // namespace

int main(int count, char** arguments) {
    const std::string asked = count > 1 ? arguments[1] : "";
    ExactAmount cost;
    if (asked == "time-of-use") {
        cost = plan::solve(night(Family::time_of_use)).objective.cost;
    } else if (asked == "noise") {
        cost = plan::solve(night(Family::noise)).objective.cost;
    } else if (asked == "hourly") {
        cost = plan::solve(night(Family::hourly)).objective.cost;
    } else if (asked == "blocked") {
        cost = plan::solve(night(Family::blocked)).objective.cost;
    } else if (asked == "every-plug-in") {
        cost = plan::solve_every_plug_in(night(Family::hourly)).front().cost;
    } else if (asked == "tapering") {
        cost = plan::solve(tapering()).objective.cost;
    } else if (asked == "sleeping") {
        cost = plan::solve(sleeping()).objective.cost;
    } else {
        std::cerr << "plan_counts: no case '" << asked << "'\n";
        return 2;
    }
    std::cout << static_cast<std::int64_t>(cost.atto() / 1'000'000'000'000) << '\n';
    return 0;
}
