// The one interface between the planner and a solver of mixed-integer programmes: minimise a linear cost over
// bounded columns, some of them whole, under bounded rows.
//
// Plain values and one function type; the solver itself lives outside core (lib/solver).
#pragma once

#include <cstdint>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <vector>

namespace lullwatt::plan {

struct MixedProgramme {
    static constexpr double kUnbounded = std::numeric_limits<double>::infinity();
    struct Column {
        double low = 0, high = 0, cost = 0;
        bool whole = false;
    };
    struct Row {
        double low = -kUnbounded;
        double high = kUnbounded;
    };
    struct Term {
        int row, column;
        double factor;
    };
    std::vector<Column> columns;
    std::vector<Row> rows;
    std::vector<Term> terms;
    double cutoff = kUnbounded;  // only solutions that cost less are asked for
};

struct MixedAnswer {
    std::vector<double> values;  // of the best solution found; empty: none below the cutoff
    bool exhausted = false;  // nothing better than `values` exists; without values, nothing below the cutoff
    double bound = -MixedProgramme::kUnbounded;  // no solution costs less, as far as floating point goes
};

// How long it may look: branch-and-bound nodes, and a word from the caller to end. Asked often.
struct MixedEffort {
    std::int64_t nodes = 0;
    std::function<bool()> stop;  // may be empty
};

// A linear programme that grows by columns, each time solved again from where it was.
class GrowingProgramme {
  public:
    struct Term {
        int row;
        double factor;
    };
    struct Answer {
        std::vector<double> values;  // of every column; empty: no solution
        std::vector<double> prices;  // of every row: what one more of its bound is worth
        double cost = 0;
    };
    GrowingProgramme() = default;
    GrowingProgramme(const GrowingProgramme&) = delete;
    GrowingProgramme& operator=(const GrowingProgramme&) = delete;
    virtual ~GrowingProgramme() = default;
    // A column from 0 up; its index is the number of columns before it.
    virtual void add(double cost, const std::vector<Term>& terms) = 0;
    // The column stays at 0, until it is allowed again.
    virtual void forbid(int column) = 0;
    virtual void allow(int column) = 0;
    [[nodiscard]] virtual Answer solve() = 0;
};

// Deterministic but for `stop`. Empty functions: there is no solver.
struct MixedSolver {
    std::function<MixedAnswer(const MixedProgramme&, const MixedEffort&)> whole;
    // What one more of each row's bound is worth when no column need be whole: a hint, never a proof. Empty
    // where the programme has no solution.
    std::function<std::vector<double>(const MixedProgramme&)> row_prices;
    // A programme of these rows and no columns yet.
    std::function<std::unique_ptr<GrowingProgramme>(const std::vector<MixedProgramme::Row>&)> growing;
    explicit operator bool() const { return static_cast<bool>(whole); }
};

}  // namespace lullwatt::plan
