// Random one-car problems for tests and benchmarks, the same for the same seed on every machine.
#pragma once

#include <array>
#include <cstdint>
#include <random>
#include <string_view>

#include "core/plan/problem.hpp"

namespace lullwatt::support {

enum class Family : std::uint8_t {
    time_of_use,  // three price levels: many ties
    noise,        // three levels and noise in every slot: near ties
    hourly,       // a random walk by the hour: ties inside each hour
    blocked,      // a price per slot, a quarter of the slots blocked, dear starts
    steady,       // three levels, one headroom throughout
    negative,     // hourly prices that fall below zero
    odd_lengths,  // three levels, with short slots at now and at price edges
    with_floor,   // hourly prices, part of the need at once
};
inline constexpr std::array kFamilies = {Family::time_of_use, Family::noise,     Family::hourly,
                                         Family::blocked,     Family::steady,    Family::negative,
                                         Family::odd_lengths, Family::with_floor};

[[nodiscard]] std::string_view name(Family family);

// Whole numbers from low to high; not std::uniform_int_distribution, which differs between libraries.
class Dice {
  public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    std::int64_t between(std::int64_t low, std::int64_t high) {
        return low + static_cast<std::int64_t>(engine_() % static_cast<std::uint64_t>(high - low + 1));
    }
    bool one_in(int count) { return between(1, count) == 1; }

  private:
    std::mt19937_64 engine_;
};

// A problem of `slots` slots of 5 min. Its need is 10 to 90 % of what fits, at most 100 kWh; in one of
// sixteen more than fits.
[[nodiscard]] plan::Problem instance(Family family, int slots, std::uint64_t seed);

}  // namespace lullwatt::support
