// A scenario: a file with what differs from an ordinary evening, read and run in lockstep.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/rehearse/world.hpp"

namespace lullwatt::tests {

// What must be seen in one second.
struct Expectation {
    Seconds at{0};
    std::size_t point = 0;
    std::optional<int> offer;  // of the equipment
    std::optional<int> at_least;
    std::optional<std::string> why;  // a reason among the decision's
    std::optional<bool> draws;       // whether the car does
};

struct Scenario {
    std::string about;
    rehearse::WorldSetup world;
    Seconds length{3600};
    Seconds at_limit{0};  // the longest episode allowed
    Seconds at_rating{0};
    std::vector<Expectation> expectations;
    std::optional<int> writes_at_most;
    bool has_without = false;
    control::LimiterOptions without;  // with the reaction switched off
    Seconds lease_without{900};
};

// Throws what yaml-cpp throws, or std::runtime_error naming an unknown key or word.
[[nodiscard]] Scenario read_scenario(const std::string& path);

// What was not as it should be, one sentence each.
[[nodiscard]] std::vector<std::string> complaints(const Scenario& scenario);
[[nodiscard]] std::vector<std::string> complaints_without_reaction(const Scenario& scenario);

// The names a file may use for a reason.
[[nodiscard]] std::string name(control::Bind bind);

}  // namespace lullwatt::tests
