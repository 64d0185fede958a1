// The command line of lullwattd.
//
// Values; read once, before anything else runs.
#pragma once

#include <filesystem>
#include <optional>
#include <variant>

#include "core/time/instant.hpp"

namespace lullwatt::daemon {

struct Options {
    std::filesystem::path site;
    std::filesystem::path state;  // folder
    std::filesystem::path socket;
    std::filesystem::path synchronized;
    std::filesystem::path lockstep;  // tests only; empty: the computer's own clocks
    double speed = 1;                // other than 1: simulated links only
    std::optional<Instant> begins;   // with a speed: the time it begins at; else now
    bool verbose = false;
};

// What it says, or the status to end with where there is nothing to run: after --help, or a mistake.
[[nodiscard]] std::variant<Options, int> parse_options(int argc, char** argv);

}  // namespace lullwatt::daemon
