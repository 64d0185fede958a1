#include "reference/plan/judge.hpp"

#include <algorithm>
#include <cmath>
#include <ctime>
#include <sstream>

namespace lullwatt::reference {
namespace {

constexpr int kGlpkFirstMs = 3'300;  // 10 s at most; what it has not proven by then takes it long

Solved better_of(const Solved& one, Solved other) {
    if (other.outcome != Outcome::stopped) return other;
    if (one.best && (!other.best || *one.best < *other.best)) other.best = one.best;
    other.bound = std::max(one.bound, other.bound);
    return other;
}

Solved patiently(const Milp& model) {
    const double begin = processor_seconds();
    Solved solved = solve_glpk(model, kGlpkFirstMs);
    if (solved.outcome != Outcome::stopped) return solved;
    const double left = Judge::kEach - (processor_seconds() - begin);
    return better_of(solved, solve_cbc(model, static_cast<int>(left * 1000), Preprocessing::off));
}

}  // namespace

double processor_seconds() {
    timespec at{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &at);
    return static_cast<double>(at.tv_sec) + static_cast<double>(at.tv_nsec) / 1e9;
}

Solved Judge::ask(const Milp& model) {
    if (!patient_) return solve_glpk(model, limit_ms_);
    if (spent_ >= kInAll) return {.outcome = Outcome::not_asked};
    const double begin = processor_seconds();
    Solved solved = patiently(model);
    spent_ += processor_seconds() - begin;
    return solved;
}

double tolerance(double cost) { return 1e-6 * std::max(0.01, std::abs(cost)); }

std::string both(const Solved& judged, double cost, double bound) {
    std::ostringstream out;
    out << "ours " << cost << ", bound " << bound << "; the reference's ";
    if (judged.best) {
        out << *judged.best / kMoneyUnit;
    } else {
        out << "none";
    }
    out << ", bound " << judged.bound / kMoneyUnit;
    return out.str();
}

bool not_the_worse(const Solved& judged, double cost, double bound) {
    if (judged.bound / kMoneyUnit > cost + tolerance(cost)) return false;
    if (!judged.best) return true;
    const double best = *judged.best / kMoneyUnit;
    return cost <= best + tolerance(best) && bound <= best + tolerance(best);
}

}  // namespace lullwatt::reference
