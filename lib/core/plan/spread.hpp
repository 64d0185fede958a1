// The sliding-window minimum of the planner's transitions, by doubling: the loops are plain and independent,
// so that a compiler overlaps or vectorises them.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace lullwatt::plan {

// What a window holds: 0..reach steps of `stride` elements, each costing `step`.
template <class Cost>
struct Spread {
    std::ptrdiff_t stride = 1;
    int reach = 0;
    Cost step = 0;
    int missing = 0;  // the number of steps that may not be taken; 0: every one may
};

namespace detail {

// values[i] = min over 0 <= k <= reach of values[i ∓ k × stride] + k × step, in place.
template <bool up, class Cost>
void spread_all(std::vector<Cost>& values, std::ptrdiff_t stride, int reach, Cost step) {
    const auto count = std::ssize(values);
    Cost* const at = values.data();
    for (int done = 0; done < reach;) {
        const int more = std::min(done + 1, reach - done);
        const std::ptrdiff_t shift = more * stride;
        const Cost toll = step * more;
        if constexpr (up) {
            for (std::ptrdiff_t i = count - 1; i >= shift; --i)
                at[i] = std::min<Cost>(at[i], at[i - shift] + toll);
        } else {
            for (std::ptrdiff_t i = 0; i + shift < count; ++i)
                at[i] = std::min<Cost>(at[i], at[i + shift] + toll);
        }
        done += more;
    }
}

template <bool up, class Cost>
void spread_without_missing(std::vector<Cost>& values, const Spread<Cost>& by, std::vector<Cost>& scratch) {
    if (by.missing == 0 || by.missing > by.reach) return spread_all<up>(values, by.stride, by.reach, by.step);
    // The windows on either side of the missing step.
    scratch = values;
    const int beyond = by.missing + 1;
    spread_all<up>(values, by.stride, by.missing - 1, by.step);
    if (beyond > by.reach) return;
    spread_all<up>(scratch, by.stride, by.reach - beyond, by.step);
    const std::ptrdiff_t shift = beyond * by.stride;
    const Cost toll = by.step * beyond;
    const auto count = std::ssize(values);
    const Cost* const from = scratch.data() + (up ? 0 : shift);
    Cost* const to = values.data() + (up ? shift : 0);
    for (std::ptrdiff_t i = 0; i < count - shift; ++i) to[i] = std::min<Cost>(to[i], from[i] + toll);
}

}  // namespace detail

// values[i] = min over k of values[i − k × stride] + k × step, in place; elements before the first do not
// exist.
template <class Cost>
void spread_up(std::vector<Cost>& values, const Spread<Cost>& by, std::vector<Cost>& scratch) {
    detail::spread_without_missing<true>(values, by, scratch);
}

// The same with values[i + k × stride].
template <class Cost>
void spread_down(std::vector<Cost>& values, const Spread<Cost>& by, std::vector<Cost>& scratch) {
    detail::spread_without_missing<false>(values, by, scratch);
}

}  // namespace lullwatt::plan
