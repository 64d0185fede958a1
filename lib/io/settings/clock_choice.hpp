// What a site file says of a computer's clock that nothing has proven yet.
//
// Values; safe to read from any thread.
#pragma once

#include "core/control/input.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

struct ClockChoice {
    bool trusted = false;  // another service keeps it
    control::WhenUnproven until_proven = control::WhenUnproven::wait;
};

// Of the section `site`; its table has checked the word.
[[nodiscard]] ClockChoice read_clock(const Section& head);

}  // namespace lullwatt::io
