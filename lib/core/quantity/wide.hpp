// A 128-bit integer for exact sums and products, such as energy × rate.
#pragma once

namespace lullwatt {

__extension__ using Wide = __int128;  // g++ and clang both have it; ISO C++20 has no name for it

// n / d to the nearest whole, halves away from zero. REQUIRES: d > 0.
[[nodiscard]] constexpr Wide nearest_quotient(Wide n, Wide d) { return (n < 0 ? n - d / 2 : n + d / 2) / d; }

}  // namespace lullwatt
