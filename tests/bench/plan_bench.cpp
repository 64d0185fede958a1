// One car: ours against GLPK and CBC in this process, on the same tight model, in one run.
//   plan_bench [INSTANCES PER CELL]
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "bench/clock.hpp"
#include "core/plan/solve.hpp"
#include "reference/plan/milp.hpp"
#include "support/instances.hpp"

using namespace lullwatt;
using bench::quantile;
using support::Family;

namespace {

constexpr std::uint64_t kFirstSeed =
    73'010'000;  // 1000 to 5132, 20001 to 20040 and 910000 to 910100 were seen while methods were chosen
constexpr int kLimitMs = 20'000;

double now_us() {
    return std::chrono::duration<double, std::micro>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

template <class Work>
double timed(Work work) {
    const double begin = now_us();
    work();
    return now_us() - begin;
}

template <class Work>
double best_of(int times, Work work) {
    double best = timed(work);
    for (int i = 1; i < times; ++i) best = std::min(best, timed(work));
    return best;
}

// A fixed amount of integer work, so that a reader can tell one machine's speed from another's.
void calibrate() {
    volatile std::uint64_t sink = 0;
    const double us = timed([&] {
        std::uint64_t x = 1;
        for (int i = 0; i < 100'000'000; ++i) x = x * 6364136223846793005U + 1442695040888963407U;
        sink = x;
    });
    std::printf("calibration: %.0f million dependent multiply-adds a second\n", 100e6 / us);
}

struct Cell {
    std::vector<double> ours, glpk, cbc, building, ratio, ratio_with_building;
    int unproven = 0;
};

void measure(Cell& cell, const plan::Problem& problem) {
    const double ours = best_of(5, [&] { (void)plan::solve(problem); });
    reference::Milp model;
    const double building = timed([&] { model = reference::milp(problem); });
    reference::Solved glpk, cbc;
    const double glpk_us = timed([&] { glpk = reference::solve_glpk(model, kLimitMs); });
    const double cbc_us =
        timed([&] { cbc = reference::solve_cbc(model, kLimitMs, reference::Preprocessing::on); });
    cell.unproven += glpk.outcome != reference::Outcome::proven || cbc.outcome != reference::Outcome::proven;
    cell.ours.push_back(ours);
    cell.glpk.push_back(glpk_us);
    cell.cbc.push_back(cbc_us);
    cell.building.push_back(building);
    cell.ratio.push_back(std::min(glpk_us, cbc_us) / ours);
    cell.ratio_with_building.push_back((std::min(glpk_us, cbc_us) + building) / ours);
}

bool feasible(const plan::Problem& problem) {
    return plan::solve(problem).objective.short_by == MilliwattHours{} && problem.need > MilliwattHours{};
}

}  // namespace

int main(int count, char** arguments) {
    const int instances = count > 1 ? std::atoi(arguments[1]) : 10;
    calibrate();
    std::printf("%5s %-12s %9s %9s %9s %9s %9s %7s %7s %9s %9s\n", "slots", "family", "ours us", "worst",
                "GLPK us", "CBC us", "build us", "ratio", "least", "+building", "unproven");
    for (const int slots : {96, 288}) {
        for (const Family family : support::kFamilies) {
            if (family == Family::odd_lengths && slots == 288)
                continue;  // whole amperes: the peers take minutes
            Cell cell;
            for (std::uint64_t seed = kFirstSeed; static_cast<int>(cell.ours.size()) < instances; ++seed) {
                const plan::Problem problem = support::instance(family, slots, seed);
                if (feasible(problem)) measure(cell, problem);
            }
            std::printf("%5d %-12s %9.0f %9.0f %9.0f %9.0f %9.0f %7.0f %7.1f %9.0f %9d\n", slots,
                        std::string(support::name(family)).c_str(), quantile(cell.ours, 0.5),
                        quantile(cell.ours, 1), quantile(cell.glpk, 0.5), quantile(cell.cbc, 0.5),
                        quantile(cell.building, 0.5), quantile(cell.ratio, 0.5), quantile(cell.ratio, 0),
                        quantile(cell.ratio_with_building, 0.5), cell.unproven);
            std::fflush(stdout);
        }
    }
    for (const Family family : support::kFamilies) {
        std::vector<double> plans, whens;
        for (int i = 0; i < instances; ++i) {
            const auto seed = kFirstSeed + static_cast<std::uint64_t>(i);
            const plan::Problem week = support::instance(family, 2016, seed);
            plans.push_back(best_of(3, [&] { (void)plan::solve(week); }) / 1e3);
            whens.push_back(best_of(3, [&] { (void)plan::solve_every_plug_in(week); }) / 1e3);
        }
        std::printf(" 2016 %-12s plan %7.1f ms, worst %7.1f; every plug-in %7.1f ms, worst %7.1f\n",
                    std::string(support::name(family)).c_str(), quantile(plans, 0.5), quantile(plans, 1),
                    quantile(whens, 0.5), quantile(whens, 1));
    }
    return 0;
}
