#include <coin/Cbc_C_Interface.h>

#include "reference/plan/milp.hpp"

namespace lullwatt::reference {

Solved solve_cbc(const Milp& model, int limit_ms, Preprocessing preprocessing) {
    const std::size_t columns = model.columns.size();
    std::vector<std::vector<Milp::Term>> by_column(columns);
    for (const Milp::Term& term : model.terms)
        by_column[static_cast<std::size_t>(term.column)].push_back(term);
    std::vector<int> begin{0};
    std::vector<int> row;
    std::vector<double> factor, low, high, cost, row_low, row_high;
    for (std::size_t i = 0; i < columns; ++i) {
        for (const Milp::Term& term : by_column[i]) {
            row.push_back(term.row);
            factor.push_back(term.factor);
        }
        begin.push_back(static_cast<int>(row.size()));
        low.push_back(model.columns[i].low);
        high.push_back(model.columns[i].high);
        cost.push_back(model.columns[i].cost);
    }
    for (const Milp::Row& r : model.rows) {
        row_low.push_back(r.low);
        row_high.push_back(r.high);
    }
    Cbc_Model* const m = Cbc_newModel();
    Cbc_setLogLevel(m, 0);
    Cbc_loadProblem(m, static_cast<int>(columns), static_cast<int>(model.rows.size()), begin.data(),
                    row.data(), factor.data(), low.data(), high.data(), cost.data(), row_low.data(),
                    row_high.data());
    for (std::size_t i = 0; i < columns; ++i) {
        if (model.columns[i].whole) Cbc_setInteger(m, static_cast<int>(i));
    }
    Cbc_setParameter(m, "threads", "0");
    if (preprocessing == Preprocessing::off) Cbc_setParameter(m, "preprocess", "off");
    Cbc_setAllowableGap(m, 0);
    Cbc_setAllowableFractionGap(m, 0);
    Cbc_setMaximumSeconds(m, limit_ms / 1000.0);
    Cbc_solve(m);
    Solved solved;
    if (Cbc_isProvenOptimal(m) != 0) {
        solved.outcome = Outcome::proven;
        const double* const values = Cbc_getColSolution(m);
        solved.values.assign(values, values + columns);
    } else if (Cbc_isProvenInfeasible(m) != 0) {
        solved.outcome = Outcome::infeasible;
    } else {
        if (Cbc_bestSolution(m) != nullptr) solved.best = Cbc_getObjValue(m);
        solved.bound = Cbc_getBestPossibleObjValue(m);
    }
    Cbc_deleteModel(m);
    return solved;
}

}  // namespace lullwatt::reference
