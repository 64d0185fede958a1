#include <algorithm>
#include <cmath>
#include <ctime>
#include <glpk.h>

#include "reference/plan/milp.hpp"

namespace lullwatt::reference {
namespace {

void bound(glp_prob* p, void (*set)(glp_prob*, int, int, double, double), int index, double low,
           double high) {
    const bool below = std::isfinite(low);
    const bool above = std::isfinite(high);
    const int kind = below && above ? (low == high ? GLP_FX : GLP_DB)
                     : below        ? GLP_LO
                     : above        ? GLP_UP
                                    : GLP_FR;
    set(p, index, kind, below ? low : 0, above ? high : 0);
}

constexpr long kNodesPerMillisecond = 10;  // about what one processor does on these models; ours

struct Search {
    long nodes_left = 0;
    std::clock_t until = 0;                                   // of the processor's time
    double bound = -std::numeric_limits<double>::infinity();  // of the nodes that are open
};

void stop_at_the_limit(glp_tree* tree, void* info) {
    if (glp_ios_reason(tree) != GLP_ISELECT) return;
    auto& search = *static_cast<Search*>(info);
    const int best = glp_ios_best_node(tree);
    if (best != 0) search.bound = std::max(search.bound, glp_ios_node_bound(tree, best));
    if (--search.nodes_left < 0 || std::clock() > search.until) glp_ios_terminate(tree);
}

}  // namespace

Solved solve_glpk(const Milp& model, int limit_ms) {
    glp_term_out(GLP_OFF);
    glp_prob* const p = glp_create_prob();
    const int columns = static_cast<int>(model.columns.size());
    const int rows = static_cast<int>(model.rows.size());
    glp_set_obj_dir(p, GLP_MIN);
    glp_add_cols(p, columns);
    glp_add_rows(p, rows);
    for (int i = 0; i < columns; ++i) {
        const Milp::Column& column = model.columns[static_cast<std::size_t>(i)];
        if (column.whole) glp_set_col_kind(p, i + 1, GLP_IV);
        bound(p, glp_set_col_bnds, i + 1, column.low, column.high);
        glp_set_obj_coef(p, i + 1, column.cost);
    }
    for (int i = 0; i < rows; ++i) {
        const Milp::Row& row = model.rows[static_cast<std::size_t>(i)];
        bound(p, glp_set_row_bnds, i + 1, row.low, row.high);
    }
    std::vector<int> at_row{0};
    std::vector<int> at_column{0};
    std::vector<double> factor{0};
    for (const Milp::Term& term : model.terms) {
        at_row.push_back(term.row + 1);
        at_column.push_back(term.column + 1);
        factor.push_back(term.factor);
    }
    glp_load_matrix(p, static_cast<int>(model.terms.size()), at_row.data(), at_column.data(), factor.data());

    glp_iocp how;
    glp_init_iocp(&how);
    how.presolve = GLP_ON;
    how.msg_lev = GLP_MSG_OFF;
    // Nodes and not time, so that how much it proves does not depend on what else runs; slow ones still end,
    // and by the clock one that is stuck within a node.
    Search search{limit_ms * kNodesPerMillisecond, std::clock() + 3 * limit_ms * (CLOCKS_PER_SEC / 1000)};
    how.cb_func = stop_at_the_limit;
    how.cb_info = &search;
    how.tm_lim = 60 * limit_ms;
    const int error = glp_intopt(p, &how);
    Solved solved;
    if (error == 0 && glp_mip_status(p) == GLP_OPT) {
        solved.outcome = Outcome::proven;
        for (int i = 0; i < columns; ++i) solved.values.push_back(glp_mip_col_val(p, i + 1));
    } else if (error == GLP_ENOPFS || (error == 0 && glp_mip_status(p) == GLP_NOFEAS)) {
        solved.outcome = Outcome::infeasible;
    } else {
        if (glp_mip_status(p) == GLP_FEAS) solved.best = glp_mip_obj_val(p);
        solved.bound = search.bound;
    }
    glp_delete_prob(p);
    return solved;
}

}  // namespace lullwatt::reference
