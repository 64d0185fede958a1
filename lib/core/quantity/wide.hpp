// A 128-bit integer for exact sums of energy × rate.
#pragma once

namespace lullwatt {

__extension__ using Wide = __int128;  // g++ and clang both have it; ISO C++20 has no name for it

}  // namespace lullwatt
