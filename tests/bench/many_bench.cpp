// Many cars: gap, time and peak memory of a plan, and CBC's on the same instance in the same run.
//   many_bench [SLOTS [SECONDS EACH [CBC'S SECONDS [INSTANCES [CARS...]]]]]
// Each solver has a process of its own for each instance, so that memory is its own. CBC minimises money
// where no car may be more short than in our plan; its gap is told as ours is, bound against its best plan.
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>
#include <unistd.h>

#include <sys/resource.h>
#include <sys/wait.h>

#include "bench/clock.hpp"
#include "core/plan/joint.hpp"
#include "reference/plan/joint_milp.hpp"
#include "solver/cbc.hpp"
#include "support/joint_checker.hpp"
#include "support/joint_instances.hpp"

using namespace lullwatt;
using support::JointFamily;

namespace {

constexpr std::uint64_t kFirstSeed = 83'000'000;  // none of these was seen while methods were chosen

struct Row {
    double ms = 0, gap = 1, cost = 0;
    long megabytes = 0;
    bool found = false, proven = false, short_of = false, wrong = false;
};

long peak_megabytes() {
    rusage used{};
    getrusage(RUSAGE_SELF, &used);
    return used.ru_maxrss / 1024;
}

// `work` in a process of its own, ended where it takes much longer than it was given.
template <class Work>
Row apart(double seconds, Work work) {
    int ends[2];
    if (pipe(ends) != 0) std::exit(1);
    std::fflush(stdout);
    const pid_t child = fork();
    if (child == 0) {
        const auto most = static_cast<rlim_t>(2 * seconds + 60);
        const rlimit limit{most, most};
        setrlimit(RLIMIT_CPU, &limit);
        Row row = work();
        row.megabytes = peak_megabytes();
        _exit(write(ends[1], &row, sizeof row) == static_cast<ssize_t>(sizeof row) ? 0 : 1);
    }
    close(ends[1]);
    Row row;
    if (read(ends[0], &row, sizeof row) != static_cast<ssize_t>(sizeof row)) row = {};
    close(ends[0]);
    rusage used{};
    int status = 0;
    wait4(child, &status, 0, &used);
    if (!row.found) {
        row.ms = static_cast<double>(used.ru_utime.tv_sec) * 1e3;
        row.megabytes = used.ru_maxrss / 1024;
    }
    return row;
}

plan::JointPlan planned(const plan::JointProblem& problem, double seconds) {
    const double begin = bench::now();
    plan::Budget budget;
    budget.pricings = 10'000'000;
    budget.nodes = 1'000'000;
    budget.stop = [=] { return bench::since(begin) > seconds * 1000; };
    budget.hurry = [=] { return bench::since(begin) > seconds * 500; };
    return plan::solve_joint(problem, budget, solver::cbc());
}

Row ours(const plan::JointProblem& problem, double seconds) {
    const double begin = bench::now();
    const plan::JointPlan plan = planned(problem, seconds);
    return {.ms = bench::since(begin),
            .gap = plan.gap().value(),
            .cost = static_cast<double>(plan.cost.atto()) / 1e18,
            .found = true,
            .proven = plan.cost_proven() && plan.shortfalls_proven,
            .short_of = plan.shortfalls.front().missing > MilliwattHours{},
            .wrong = !support::complaints(problem, plan).empty()};
}

Row cbc(const plan::JointProblem& problem, double ours_seconds, double seconds) {
    std::vector<MilliwattHours> short_by;
    for (const plan::CarPlan& car : planned(problem, ours_seconds).cars)
        short_by.push_back(car.short_by.missing);
    const reference::Milp model = reference::joint_milp(problem, short_by);
    const double begin = bench::now();
    const auto solved =
        reference::solve_cbc(model, static_cast<int>(seconds * 1000), reference::Preprocessing::on);
    Row row{.ms = bench::since(begin)};
    if (solved.outcome == reference::Outcome::proven) {
        row.gap = 0;
        row.cost = reference::joint_cost(problem, solved.values);
        row.found = row.proven = true;
    } else if (solved.best) {
        row.cost = *solved.best / reference::kMoneyUnit;
        row.gap = (*solved.best - solved.bound) / std::max(std::abs(*solved.best), 1.0);
        row.found = true;
    }
    return row;
}

// Slope of a line through the logarithms, by least squares.
class Exponent {
  public:
    void add(double x, double y) {
        x = std::log(x), y = std::log(y);
        ++count_, x_ += x, y_ += y, xx_ += x * x, xy_ += x * y;
    }
    [[nodiscard]] double slope() const {
        const double spread = count_ * xx_ - x_ * x_;
        return spread > 0 ? (count_ * xy_ - x_ * y_) / spread : 0.0;
    }

  private:
    double count_ = 0, x_ = 0, y_ = 0, xx_ = 0, xy_ = 0;
};

void print(const char* who, const Row& row) {
    if (!row.found) {
        std::printf("  %s: no plan in %.0f s, %ld MB", who, row.ms / 1e3, row.megabytes);
        return;
    }
    std::printf("  %s %8.0f ms gap %.1e%s cost %.4f %5ld MB%s%s", who, row.ms, row.gap,
                row.proven ? " proven" : "", row.cost, row.megabytes, row.short_of ? " short" : "",
                row.wrong ? " WRONG" : "");
}

}  // namespace

int main(int count, char** arguments) {
    const auto number = [&](int at, double otherwise) {
        return count > at ? std::atof(arguments[at]) : otherwise;
    };
    const int slots = static_cast<int>(number(1, 96));
    const double seconds = number(2, 15), cbc_seconds = number(3, 60);
    const int instances = static_cast<int>(number(4, 1));
    std::vector<int> sizes;
    for (int i = 5; i < count; ++i) sizes.push_back(std::atoi(arguments[i]));
    if (sizes.empty()) sizes = {10, 30, 100, 300, 1000};
    std::map<JointFamily, Exponent> time, memory;
    for (const int cars : sizes) {
        for (const JointFamily family : support::kJointFamilies) {
            for (int i = 0; i < instances; ++i) {
                const auto problem =
                    support::joint_instance(family, cars, slots, kFirstSeed + static_cast<unsigned>(i));
                std::printf("%5d cars %4d slots %-12s", cars, slots,
                            std::string(support::name(family)).c_str());
                const Row row = apart(seconds, [&] { return ours(problem, seconds); });
                print("ours", row);
                if (row.ms < seconds * 1000) time[family].add(cars, row.ms);
                memory[family].add(cars, static_cast<double>(row.megabytes));
                if (cbc_seconds > 0)
                    print("CBC",
                          apart(cbc_seconds + seconds, [&] { return cbc(problem, seconds, cbc_seconds); }));
                std::printf("\n");
                std::fflush(stdout);
            }
        }
    }
    for (const auto& [family, exponent] : time)
        std::printf(
            "%-12s time grows with cars to the power of %.2f where it ended before its time, memory %.2f\n",
            std::string(support::name(family)).c_str(), exponent.slope(), memory[family].slope());
    return 0;
}
