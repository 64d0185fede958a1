// 2 to 4 cars: how often a plan is proven, how long it takes, and what gap is left.
//   joint_bench [INSTANCES PER CELL [SECONDS EACH [FIRST SEED]]]
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "bench/clock.hpp"
#include "core/plan/joint.hpp"
#include "solver/cbc.hpp"
#include "support/joint_checker.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using bench::now;
using bench::quantile;
using bench::since;
using support::JointFamily;

namespace {

constexpr std::uint64_t kFirstSeed = 93'000'000;  // none of these was seen while methods were chosen

struct Cell {
    std::vector<double> quick_ms, quick_gap, ms, gap;
    int proven = 0, short_of = 0, wrong = 0, binds = 0;
};

void measure(Cell& cell, const plan::JointProblem& problem, double seconds) {
    const auto within = [](double ms) {
        const auto begin = now();
        plan::Budget budget;
        budget.pricings = 1'000'000;
        budget.nodes = 10'000'000;
        budget.stop = [begin, ms] { return since(begin) > ms; };
        budget.hurry = [begin, ms] { return since(begin) > ms / 2; };
        return budget;
    };
    auto begin = now();
    const plan::JointPlan quick = plan::solve_joint(problem, within(100), solver::cbc());
    cell.quick_ms.push_back(since(begin));
    cell.quick_gap.push_back(quick.gap().value());
    begin = now();
    auto budget = within(seconds * 1000);
    budget.pricings = 4'000;
    const plan::JointPlan plan = plan::solve_joint(problem, budget, solver::cbc());
    cell.ms.push_back(since(begin));
    cell.gap.push_back(plan.gap().value());
    cell.proven += plan.cost_proven() && plan.shortfalls_proven;
    cell.short_of += plan.shortfalls.front().missing > MilliwattHours{};
    cell.binds += support::headroom_binds(problem, plan);
    cell.wrong += !support::complaints(problem, plan).empty() || !support::complaints(problem, quick).empty();
}

}  // namespace

int main(int count, char** arguments) {
    const int instances = count > 1 ? std::atoi(arguments[1]) : 10;
    const double seconds = count > 2 ? std::atof(arguments[2]) : 10;
    const std::uint64_t first = count > 3 ? static_cast<std::uint64_t>(std::atoll(arguments[3])) : kFirstSeed;
    std::printf("%4s %5s %-12s %8s %8s %8s %6s %8s %8s %8s %8s %5s %5s %5s\n", "cars", "slots", "prices",
                "plan ms", "gap", "worst", "proven", "ms", "worst", "gap", "worst", "short", "binds",
                "wrong");
    for (const int slots : {96, 288}) {
        for (const int cars : {2, 3, 4}) {
            for (const JointFamily family : support::kJointFamilies) {
                Cell cell;
                for (int i = 0; i < instances; ++i)
                    measure(cell,
                            support::joint_instance(family, cars, slots, first + static_cast<unsigned>(i)),
                            seconds);
                std::printf("%4d %5d %-12s %8.0f %8.1e %8.1e %3d/%-3d%8.0f %8.0f %8.1e %8.1e %5d %5d %5d\n",
                            cars, slots, std::string(support::name(family)).c_str(),
                            quantile(cell.quick_ms, 0.5), quantile(cell.quick_gap, 0.5),
                            quantile(cell.quick_gap, 1), cell.proven, instances, quantile(cell.ms, 0.5),
                            quantile(cell.ms, 1), quantile(cell.gap, 0.5), quantile(cell.gap, 1),
                            cell.short_of, cell.binds, cell.wrong);
                std::fflush(stdout);
            }
        }
    }
    return 0;
}
