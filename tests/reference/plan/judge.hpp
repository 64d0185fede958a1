// What judges the planner: GLPK, and where that does not settle it and there is time, CBC.
//
// One thread. What a Solved holds is in units of its model, everything else in the currency.
#pragma once

#include <string>

#include "reference/plan/milp.hpp"

namespace lullwatt::reference {

// Of this process, so that other work on the machine takes nothing from anybody.
[[nodiscard]] double processor_seconds();

class Judge {
  public:
    static constexpr double kEach = 60;      // seconds for a model; a planner gets as many
    static constexpr double kInAll = 3'600;  // then nothing more is asked

    // Without patience: GLPK alone, by counted nodes, so that the same is proven wherever it runs.
    Judge(bool patient, int limit_ms) : patient_(patient), limit_ms_(limit_ms) {}

    [[nodiscard]] bool patient() const { return patient_; }
    // Nothing is asked once the time in all is spent: outcome not_asked.
    [[nodiscard]] Solved ask(const Milp& model);

  private:
    bool patient_;
    int limit_ms_;
    double spent_ = 0;
};

// How far two sums of money that are the same may lie apart.
[[nodiscard]] double tolerance(double cost);

// Of a model the judge was stopped at: both costs and both bounds, for a list.
[[nodiscard]] std::string both(const Solved& judged, double cost, double bound);
// The planner's cost is not above the judge's, and no bound is above a cost.
[[nodiscard]] bool not_the_worse(const Solved& judged, double cost, double bound);

}  // namespace lullwatt::reference
