// Pseudo-random whole numbers that are the same on every machine and with every library.
//
// Values only; one thread.
#pragma once

#include <cstdint>

namespace lullwatt::rehearse {

class Random {
  public:
    explicit Random(std::uint64_t seed) : state_(seed) {}

    // splitmix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", 2014; from memory).
    [[nodiscard]] std::uint64_t next() {
        state_ += 0x9e3779b97f4a7c15U;
        std::uint64_t value = state_;
        value = (value ^ (value >> 30U)) * 0xbf58476d1ce4e5b9U;
        value = (value ^ (value >> 27U)) * 0x94d049bb133111ebU;
        return value ^ (value >> 31U);
    }
    // Both ends included; the bias of the remainder is below 2^-40 here. REQUIRES: least <= most, span <
    // 2^24.
    [[nodiscard]] int between(int least, int most) {
        const auto span = static_cast<std::uint64_t>(most) - static_cast<std::uint64_t>(least) + 1;
        return least + static_cast<int>(next() % span);
    }
    [[nodiscard]] bool percent(int chance) { return between(1, 100) <= chance; }

  private:
    std::uint64_t state_;
};

}  // namespace lullwatt::rehearse
