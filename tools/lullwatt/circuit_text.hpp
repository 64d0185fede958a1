// The words of `circuit`.
//
// Pure functions; call from any thread.
#pragma once

#include <string>
#include <vector>

#include "tools/lullwatt/circuit_advice.hpp"
#include "tools/lullwatt/circuit_wiring.hpp"

namespace lullwatt::tools {

struct CircuitAnswer {
    std::vector<PointAdvice> points;
    std::vector<NodeWiring> wiring;
    std::vector<std::string> added;  // what --with added, and as what it was taken
};

[[nodiscard]] std::string circuit_text(const io::Household& house, const CircuitAnswer& answer);
[[nodiscard]] std::string circuit_json(const io::Household& house, const CircuitAnswer& answer);
// The page for the electrician.
[[nodiscard]] std::string questions_text(const io::Household& house, const CircuitAnswer& answer);

// Whether every point stays within what it may be set to, and every wire suits.
[[nodiscard]] bool all_within(const io::Household& house, const CircuitAnswer& answer);

}  // namespace lullwatt::tools
