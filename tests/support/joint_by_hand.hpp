// Joint problems small enough to be worked out by hand.
//
// Pure functions; call from any thread.
#pragma once

#include <initializer_list>
#include <string>
#include <vector>

#include "core/plan/joint.hpp"

namespace lullwatt::support {

// So many quarters of an hour, without cars or rows.
[[nodiscard]] plan::JointProblem quarters(std::size_t count);

// Prices in hundredths of the currency per kWh. 240 W an ampere: an ampere for a quarter of an hour is 60 Wh.
[[nodiscard]] plan::JointCar car(const std::string& name, std::initializer_list<int> cents, int most,
                                 int need_ampere_quarters);

// The first leg of the first node: the same amperes in all slots.
[[nodiscard]] plan::SharedRow row(int amps, std::size_t slots, std::vector<std::size_t> cars);

[[nodiscard]] std::vector<int> amps(const plan::CarPlan& plan);

}  // namespace lullwatt::support
