// What one ampere more of room would be worth this night, node by node.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "tools/lullwatt/question.hpp"

namespace lullwatt::tools {

struct NodeWorth {
    std::size_t node = 0;      // index into Site::nodes
    plan::Objective relieved;  // of the plan with one ampere more there
};

// Of every node that keeps the plan from more, planned again with one ampere more on each of its legs.
[[nodiscard]] std::vector<NodeWorth> node_worths(const Question& question, const plan::Plan& plan);

// How much better `other` is than `best`, by the first thing that differs: "saves 0.0512".
[[nodiscard]] std::string better_text(const plan::Objective& best, const plan::Objective& other);

}  // namespace lullwatt::tools
