// The joint problem as a tight mixed-integer programme: amperes, on/off and starts by car and slot, Σ starts
// >= 1, and how many cars a row can hold at once.
//
// Pure functions; call from any thread.
#pragma once

#include <optional>
#include <vector>

#include "core/plan/joint_grid.hpp"
#include "core/plan/mixed_programme.hpp"

namespace lullwatt::plan {

enum class Aim : std::uint8_t { least_money, any_plan };

class JointModel {
  public:
    // Amperes are continuous where rows are laminar and slots equally long: the on/off pattern fixed, they
    // are then a flow, and whole. REQUIRES: grid outlives this.
    JointModel(const JointGrid& grid, const std::vector<std::int64_t>& targets, Aim aim, bool whole_amps);

    [[nodiscard]] const MixedProgramme& programme() const { return programme_; }
    // Asks only for plans that cost less than this many steps of money.
    void ask_below(Wide money);
    // Steps of money that nothing costs less than, by a bound in the programme's own measure.
    [[nodiscard]] Wide money_bound(double bound) const;
    // What a unit of energy is worth by row and slot of the grid, from the prices of the programme's rows.
    [[nodiscard]] std::vector<std::vector<Wide>> multipliers(const std::vector<double>& row_prices) const;
    [[nodiscard]] JointAmps amps(const std::vector<double>& values) const;

  private:
    void add_car(std::size_t car, std::int64_t target, bool whole_amps);
    void add_gap(const GridSlot& slot, int amps, int on);
    void add_rows();
    int row(double low, double high);
    void term(int row, int column, double factor) { programme_.terms.push_back({row, column, factor}); }

    const JointGrid& grid_;
    Aim aim_;
    double per_step_;  // of the programme's cost, for one step of money
    MixedProgramme programme_;
    std::vector<std::vector<int>> together_;  // row by row of the grid and slot; −1: cannot bind
    std::vector<std::vector<int>> amps_;      // column by car and slot; −1: the slot can only be off
};

}  // namespace lullwatt::plan
