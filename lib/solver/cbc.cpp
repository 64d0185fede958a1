#include "solver/cbc.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <coin/CbcEventHandler.hpp>
#include <coin/CbcModel.hpp>
#include <coin/CbcSolver.hpp>
#include <coin/ClpSimplex.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/OsiClpSolverInterface.hpp>

namespace lullwatt::solver {
namespace {

// Ends the search at the caller's word.
class Ear : public CbcEventHandler {
  public:
    explicit Ear(const std::function<bool()>* word) : word_(word) {}
    CbcAction event(CbcEvent) override { return *word_ && (*word_)() ? stop : noAction; }
    CbcEventHandler* clone() const override { return new Ear(*this); }

  private:
    const std::function<bool()>* word_;
};

OsiClpSolverInterface relaxation(const plan::MixedProgramme& programme) {
    std::vector<int> row, column;
    std::vector<double> factor, low, high, cost, row_low, row_high;
    for (const auto& term : programme.terms) {
        row.push_back(term.row);
        column.push_back(term.column);
        factor.push_back(term.factor);
    }
    for (const auto& c : programme.columns) {
        low.push_back(c.low);
        high.push_back(c.high);
        cost.push_back(c.cost);
    }
    OsiClpSolverInterface clp;
    const double infinity = clp.getInfinity();
    for (const auto& r : programme.rows) {
        row_low.push_back(std::isfinite(r.low) ? r.low : -infinity);
        row_high.push_back(std::isfinite(r.high) ? r.high : infinity);
    }
    CoinPackedMatrix matrix(true, row.data(), column.data(), factor.data(),
                            static_cast<CoinBigIndex>(factor.size()));
    matrix.setDimensions(static_cast<int>(row_low.size()), static_cast<int>(low.size()));
    clp.messageHandler()->setLogLevel(0);
    clp.loadProblem(matrix, low.data(), high.data(), cost.data(), row_low.data(), row_high.data());
    for (std::size_t i = 0; i < programme.columns.size(); ++i) {
        if (programme.columns[i].whole) clp.setInteger(static_cast<int>(i));
    }
    return clp;
}

int no_callback(CbcModel*, int) { return 0; }

bool has_choices(const plan::MixedProgramme& programme) {
    return std::ranges::any_of(programme.columns,
                               [](const auto& column) { return column.whole && column.low < column.high; });
}

// Nothing is to be chosen: a linear programme, without the solver's preparations for a tree.
plan::MixedAnswer solve_linear(const plan::MixedProgramme& programme) {
    OsiClpSolverInterface clp = relaxation(programme);
    clp.initialSolve();
    plan::MixedAnswer answer;
    if (clp.isProvenPrimalInfeasible()) {
        answer.exhausted = true;
        answer.bound = programme.cutoff;
    }
    if (!clp.isProvenOptimal()) return answer;
    answer.exhausted = true;
    answer.bound = std::min(clp.getObjValue(), programme.cutoff);
    if (clp.getObjValue() < programme.cutoff)
        answer.values.assign(clp.getColSolution(), clp.getColSolution() + programme.columns.size());
    return answer;
}

plan::MixedAnswer solve_whole(const plan::MixedProgramme& programme, const plan::MixedEffort& effort) {
    if (!has_choices(programme)) return solve_linear(programme);
    CbcModel model(relaxation(programme));
    model.setLogLevel(0);
    CbcSolverUsefulData data;
    data.noPrinting_ = true;
    CbcMain0(model, data);
    model.setLogLevel(0);
    const Ear ear(&effort.stop);
    model.passInEventHandler(&ear);
    const bool cut = std::isfinite(programme.cutoff);
    const std::string cutoff = std::to_string(programme.cutoff);
    const std::string nodes = std::to_string(effort.nodes);
    std::vector<const char*> words = {"cbc",           "-log", "0",         "-ratioGap",  "0",
                                      "-allowableGap", "0",    "-maxNodes", nodes.c_str()};
    // A good solution is known: only the tree can tell that there is no better one, and its own cuts slow it.
    // Else cuts run, and CBC 2.10 then loses solutions that its preprocessing should have kept.
    if (cut) {
        words.insert(words.end(),
                     {"-cutoff", cutoff.c_str(), "-heuristicsOnOff", "off", "-cutsOnOff", "off"});
    } else {
        words.insert(words.end(), {"-preprocess", "off"});
    }
    words.insert(words.end(), {"-solve", "-quit"});
    CbcMain1(static_cast<int>(words.size()), words.data(), model, no_callback, data);

    plan::MixedAnswer answer;
    const double* const values = model.bestSolution();
    if (values != nullptr && model.getObjValue() < programme.cutoff)
        answer.values.assign(values, values + programme.columns.size());
    answer.exhausted = model.status() == 0 && (model.isProvenOptimal() || model.isProvenInfeasible());
    if (answer.exhausted) {
        answer.bound = answer.values.empty() ? programme.cutoff : model.getObjValue();
    } else {
        answer.bound = model.getBestPossibleObjValue();
    }
    return answer;
}

std::vector<double> row_prices(const plan::MixedProgramme& programme) {
    OsiClpSolverInterface clp = relaxation(programme);
    clp.initialSolve();
    if (!clp.isProvenOptimal()) return {};
    const double* const prices = clp.getRowPrice();
    return {prices, prices + programme.rows.size()};
}

class Growing : public plan::GrowingProgramme {
  public:
    explicit Growing(const std::vector<plan::MixedProgramme::Row>& rows) {
        clp_.messageHandler()->setLogLevel(0);
        clp_.getModelPtr()->setLogLevel(0);
        const double infinity = clp_.getInfinity();
        for (const auto& row : rows) {
            clp_.addRow(CoinPackedVector(), std::isfinite(row.low) ? row.low : -infinity,
                        std::isfinite(row.high) ? row.high : infinity);
        }
    }
    void add(double cost, const std::vector<Term>& terms) override {
        CoinPackedVector column;
        for (const Term& term : terms) column.insert(term.row, term.factor);
        clp_.addCol(column, 0, clp_.getInfinity(), cost);
    }
    void forbid(int column) override {
        clp_.setColUpper(column, 0);
        cut_ = true;
    }
    void allow(int column) override { clp_.setColUpper(column, clp_.getInfinity()); }
    Answer solve() override {
        if (solved_) {
            clp_.setHintParam(OsiDoDualInResolve, cut_, OsiHintDo);
            cut_ = false;
            clp_.resolve();
        } else {
            clp_.initialSolve();
        }
        solved_ = true;
        if (!clp_.isProvenOptimal()) return {};
        return {{clp_.getColSolution(), clp_.getColSolution() + clp_.getNumCols()},
                {clp_.getRowPrice(), clp_.getRowPrice() + clp_.getNumRows()},
                clp_.getObjValue()};
    }

  private:
    OsiClpSolverInterface clp_;
    bool solved_ = false;
    bool cut_ =
        false;  // the last optimum may not be a solution any more, so the dual simplex goes on from it
};

std::unique_ptr<plan::GrowingProgramme> growing(const std::vector<plan::MixedProgramme::Row>& rows) {
    return std::make_unique<Growing>(rows);
}

}  // namespace

plan::MixedSolver cbc() { return {solve_whole, row_prices, growing}; }

}  // namespace lullwatt::solver
