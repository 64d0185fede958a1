// Keeps a log from filling with one message: the same one passes at most once a minute, with a count of what
// it stands for.
//
// A value with memory; one thread at a time. Time is an argument.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "daemon/ports/clock.hpp"

namespace lullwatt::daemon {

class Repeats {
  public:
    static constexpr Milliseconds kQuiet{60'000};
    static constexpr std::size_t kMostRemembered = 512;  // ours: beyond it every message passes

    struct Withheld {
        std::string key;
        std::string text;  // the last one withheld
        unsigned count = 0;
    };

    // The number of earlier ones withheld since the last that passed; empty: this one is withheld.
    [[nodiscard]] std::optional<unsigned> pass(std::string_view key, std::string_view text, BootTime now);
    // What was withheld and whose minute is over; it counts as said now. At the end of the process: all of
    // it.
    [[nodiscard]] std::vector<Withheld> overdue(BootTime now);
    [[nodiscard]] std::vector<Withheld> all();

  private:
    struct Memory {
        BootTime said;
        unsigned withheld = 0;
        std::string text;
    };
    std::unordered_map<std::string, Memory> memory_;
};

}  // namespace lullwatt::daemon
