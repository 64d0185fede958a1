// What one ampere more of room would be worth this night, node by node.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "tools/lullwatt/night.hpp"

namespace lullwatt::tools {

struct NodeWorth {
    std::size_t node = 0;      // index into Site::nodes
    plan::Objective planned;   // of the night as it is planned
    plan::Objective relieved;  // with one ampere more there
    bool together = false;     // both of all cars that are planned together
    bool proven = true;        // that no plan costs less, of both
};

// Of every node that keeps the car asked about from more, planned again with one ampere more on each of its
// legs: the car alone, or with all those it is planned together with. Their shortfalls count as one sum.
[[nodiscard]] std::vector<NodeWorth> node_worths(const Night& night);

// "1 A more  at yard, all night: saves 0.0512"
[[nodiscard]] std::string worth_text(const NodeWorth& worth, const site::Site& site);

// How much better `other` is than `best`, by the first thing that differs: "saves 0.0512".
[[nodiscard]] std::string better_text(const plan::Objective& best, const plan::Objective& other);

}  // namespace lullwatt::tools
