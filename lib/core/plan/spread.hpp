// The sliding-window minimum of the planner's transitions, by doubling: the loops are plain and independent,
// so that a compiler overlaps or vectorises them.
#pragma once

#include <algorithm>
#include <cstddef>

namespace lullwatt::plan {

// values[i] = min over 0 <= k <= reach of values[i − k × stride] + k × step, in place, for i < count;
// elements before the first do not exist.
template <class Cost>
void spread_up(Cost* values, std::ptrdiff_t count, std::ptrdiff_t stride, int reach, Cost step) {
    for (int done = 0; done < reach;) {
        const int more = std::min(done + 1, reach - done);
        const std::ptrdiff_t shift = more * stride;
        const Cost toll = step * more;
        for (std::ptrdiff_t i = count - 1; i >= shift; --i) {
            values[i] = std::min<Cost>(values[i], values[i - shift] + toll);
        }
        done += more;
    }
}

// The same with values[i + k × stride].
template <class Cost>
void spread_down(Cost* values, std::ptrdiff_t count, std::ptrdiff_t stride, int reach, Cost step) {
    for (int done = 0; done < reach;) {
        const int more = std::min(done + 1, reach - done);
        const std::ptrdiff_t shift = more * stride;
        const Cost toll = step * more;
        for (std::ptrdiff_t i = 0; i + shift < count; ++i) {
            values[i] = std::min<Cost>(values[i], values[i + shift] + toll);
        }
        done += more;
    }
}

}  // namespace lullwatt::plan
