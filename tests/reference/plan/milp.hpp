// A driven car's problem as a mixed-integer programme, built from the Problem alone, for outside solvers.
//
// Tight: a start variable per slot with Σ starts >= 1, on/off binary, amperes continuous where all usable
// slots are equally long and nothing is lost (with the pattern fixed the amperes are then a flow, so whole),
// whole otherwise. Money in ten-millionths of the currency, energy in ampere-minutes; both are what the
// instances are made of.
#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "core/plan/problem.hpp"

namespace lullwatt::reference {

inline constexpr double kMoneyUnit = 1e7;  // of them make one of the currency

struct Milp {
    struct Column {
        double low = 0, high = 0, cost = 0;
        bool whole = false;
    };
    struct Term {
        int row, column;
        double factor;
    };
    struct Row {
        double low = -std::numeric_limits<double>::infinity();
        double high = std::numeric_limits<double>::infinity();
    };
    std::vector<Column> columns;  // amperes of each slot, then on, then start
    std::vector<Row> rows;
    std::vector<Term> terms;
};

[[nodiscard]] Milp milp(const plan::Problem& problem);

// Whole amperes out of a solver's column values.
[[nodiscard]] std::vector<WholeAmps> amperes(const plan::Problem& problem, const std::vector<double>& values);

enum class Outcome { proven, stopped, infeasible, not_asked };
struct Solved {
    Outcome outcome = Outcome::stopped;
    std::vector<double> values;  // of a proven optimum
    // Where it was stopped: the objective of the best solution it has, and what none is below.
    std::optional<double> best;
    double bound = -std::numeric_limits<double>::infinity();
};
// GLPK: presolve, one thread, no tolerance on the gap. The limit is of nodes, at most three times as long
// in the processor's time.
[[nodiscard]] Solved solve_glpk(const Milp& model, int limit_ms);
// CBC: log off, one thread, no tolerance on the gap. The limit is of the processor's time. Its preprocessing
// is quick and in version 2.10 loses solutions now and then: on for a race, off for a judge.
enum class Preprocessing { on, off };
[[nodiscard]] Solved solve_cbc(const Milp& model, int limit_ms, Preprocessing preprocessing);

}  // namespace lullwatt::reference
