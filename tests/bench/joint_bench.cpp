// Several cars: how often a plan is proven, how long it takes, and what gap is left.
//   joint_bench [INSTANCES PER CELL [SECONDS EACH [FIRST SEED]]]     2 to 4 cars
//   joint_bench many CARS SLOTS [INSTANCES [SECONDS EACH]]           one process a size: its peak memory is
//   told
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

#include <sys/resource.h>

#include "core/plan/joint.hpp"
#include "solver/cbc.hpp"
#include "support/joint_checker.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using support::JointFamily;

namespace {

constexpr std::uint64_t kFirstSeed = 910'000;  // none of these was seen while methods were chosen

// The processor's time of this one thread, in milliseconds: other work on the machine does not enter.
double now() {
    timespec at{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &at);
    return static_cast<double>(at.tv_sec) * 1e3 + static_cast<double>(at.tv_nsec) / 1e6;
}
double since(double begin) { return now() - begin; }

double quantile(std::vector<double> values, double share) {
    if (values.empty()) return 0;
    std::ranges::sort(values);
    return values[std::min(values.size() - 1,
                           static_cast<std::size_t>(share * static_cast<double>(values.size())))];
}

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

int many(int count, char** arguments) {
    const int cars = std::atoi(arguments[2]);
    const int slots = std::atoi(arguments[3]);
    const int instances = count > 4 ? std::atoi(arguments[4]) : 3;
    const double seconds = count > 5 ? std::atof(arguments[5]) : 15;
    for (const JointFamily family : support::kJointFamilies) {
        for (int i = 0; i < instances; ++i) {
            const auto problem =
                support::joint_instance(family, cars, slots, kFirstSeed + static_cast<unsigned>(i));
            const double begin = now();
            plan::Budget budget;
            budget.pricings = 10'000'000;
            budget.nodes = 1'000'000;
            budget.stop = [=] { return since(begin) > seconds * 1000; };
            budget.hurry = [=] { return since(begin) > seconds * 500; };
            const plan::JointPlan plan = plan::solve_joint(problem, budget, solver::cbc());
            rusage used{};
            getrusage(RUSAGE_SELF, &used);
            std::printf("%5d cars %4d slots %-12s %8.0f ms gap %.1e%s%s %7lld pricings %5ld MB\n", cars,
                        slots, std::string(support::name(family)).c_str(), since(begin), plan.gap().value(),
                        plan.shortfalls.front().missing > MilliwattHours{} ? " short" : "",
                        support::complaints(problem, plan).empty() ? "" : " WRONG",
                        static_cast<long long>(plan.pricings), used.ru_maxrss / 1024);
            std::fflush(stdout);
        }
    }
    return 0;
}

}  // namespace

int main(int count, char** arguments) {
    if (count > 3 && std::string(arguments[1]) == "many") return many(count, arguments);
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
