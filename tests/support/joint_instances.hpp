// Random problems of several cars on one service, the same for the same seed on every machine.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

#include "core/plan/joint_problem.hpp"

namespace lullwatt::support {

enum class JointFamily : std::uint8_t {
    time_of_use,  // three price levels: many ties
    noise,        // three levels and noise in every slot: near ties
    hourly,       // a random walk by the hour: ties inside each hour
    restless,     // a price per slot, and starts that cost enough to bridge some of them
};
inline constexpr std::array kJointFamilies = {JointFamily::time_of_use, JointFamily::noise,
                                              JointFamily::hourly, JointFamily::restless};

[[nodiscard]] std::string_view name(JointFamily family);

// A day of `slots` equal slots from noon. Service of one leg, split-phase or three-phase; cars on one leg,
// or three; in half of them a feeder under the service holds some of the cars. Headroom varies by the hour
// and the slot. A row carries 1.2 to 2 times what its cars would draw, were every need spread evenly over the
// time its car is there, but for one problem in twelve, where it carries 0.7 times that. Each car is there
// from early on to early morning, one in four with a break.
[[nodiscard]] plan::JointProblem joint_instance(JointFamily family, int cars, int slots, std::uint64_t seed);

// Few slots of some amperes, small enough for every plan to be tried.
[[nodiscard]] plan::JointProblem tiny_joint_instance(std::uint64_t seed);

}  // namespace lullwatt::support
