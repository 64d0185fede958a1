#include "io/settings/clock_choice.hpp"

namespace lullwatt::io {

ClockChoice read_clock(const Section& head) {
    const auto* word = head.find<std::string>("clock");
    if (word == nullptr) return {};
    ClockChoice choice{.trusted = *word == "trusted"};
    if (*word == "standing") choice.until_proven = control::WhenUnproven::standing;
    if (*word == "charge") choice.until_proven = control::WhenUnproven::charge;
    return choice;
}

}  // namespace lullwatt::io
