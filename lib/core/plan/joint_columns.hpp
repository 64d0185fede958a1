// Many cars: whole nights of each car are columns of a linear programme whose rows are the shared headroom;
// its prices ask each car for a better night until none has one. When a car charges can be fixed.
//
// Pure but for the caller's `stop` and solver.
#pragma once

#include <memory>
#include <optional>
#include <set>
#include <vector>

#include "core/plan/joint_bound.hpp"
#include "core/plan/mixed_programme.hpp"

namespace lullwatt::plan {

class Columns {
  public:
    using Night = std::vector<int>;  // amperes by slot
    struct Choice {
        std::size_t car = 0;
        double weight = 0;  // from 0 to 1, of all the car's nights that charge in the same slots
        Night like;         // one of them
    };
    struct Optimum {
        double cost = 0;                // in the measure of cost_of()
        std::vector<Choice> choices;    // of the cars that are not fixed
        std::vector<std::size_t> away;  // cars that what is fixed leaves no room, in part at least
    };

    // REQUIRES: solver.growing; all outlive this.
    Columns(const JointGrid& grid, const std::vector<std::int64_t>& targets, const MixedSolver& solver);

    // Raises the bound of `ascent` to the programme's optimum, or near it. REQUIRES: it has made a step.
    void raise(Ascent& ascent, Work& work);

    void add(std::size_t car, const Night& night);
    // The car charges in the slots of this night and in no other, until it is released.
    void fix(std::size_t car, const Night& like);
    void release(std::size_t car);
    [[nodiscard]] bool is_fixed(std::size_t car) const { return is_fixed_[car]; }
    // Whether the fixed cars leave room for the least of this night.
    [[nodiscard]] bool fits(std::size_t car, const Night& night) const;

    // After a few rounds of pricing within what is fixed, so not the least there is; empty: no solution.
    [[nodiscard]] std::optional<Optimum> optimum(Work& work);
    [[nodiscard]] double cost_of(const JointAmps& amps) const;
    // The cheapest amperes while charging is as fixed; empty where the solver finds none. REQUIRES: all are.
    [[nodiscard]] std::optional<JointAmps> amps(Work& work) const;
    // The cars one after the other beside the least of the fixed ones; empty where one does not fit.
    [[nodiscard]] std::optional<JointAmps> one_by_one(Work& work) const;

  private:
    using ByRow = Multipliers::ByRow;
    struct Column {
        std::size_t car;
        Night night;  // empty: the car stays away, at a price no night has
    };
    [[nodiscard]] ByRow multipliers(const std::vector<double>& prices) const;
    [[nodiscard]] std::vector<Choice> choices(const std::vector<double>& values) const;
    // A better night of each car, within what is fixed; false where none has one.
    bool price_all(const GrowingProgramme::Answer& answer, Work& work);

    const JointGrid& grid_;
    JointGrid fixed_;  // the same with what is fixed
    const std::vector<std::int64_t>& targets_;
    const MixedSolver& solver_;
    double per_cost_;                       // of the grid's cost, for one of the programme's
    std::vector<std::vector<int>> row_of_;  // of the programme, by row and slot; −1: cannot bind
    std::vector<int> car_row_;
    std::unique_ptr<GrowingProgramme> programme_;
    std::vector<Column> columns_;
    std::vector<std::set<Night>> known_;
    JointAmps forced_;
    JointAmps least_;  // of the cars that are fixed; what is forced of the others
    std::vector<bool> is_fixed_;
};

// The cheapest amperes where it is fixed in which slots each car charges; empty where the solver finds none.
[[nodiscard]] std::optional<JointAmps> best_amps(const JointGrid& fixed,
                                                 const std::vector<std::int64_t>& targets, Work& work,
                                                 const MixedSolver& solver);

// The car charges in the slots in which `like` does, and in no other.
void fix_pattern(JointGrid& grid, std::size_t car, const std::vector<int>& like);

}  // namespace lullwatt::plan
