// The sliding-window minimum of the planner's transitions, by doubling: every loop is one plain pass from
// one row into another, which a compiler turns into vector instructions.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace lullwatt::plan {

// out[i] = the lesser of a[i] + to_a and b[i] + to_b. REQUIRES: `out` overlaps neither.
template <class Cost>
void least_of(Cost* __restrict out, const Cost* a, Cost to_a, const Cost* b, Cost to_b,
              std::ptrdiff_t count) {
    for (std::ptrdiff_t i = 0; i < count; ++i) {
        const Cost by_a = a[i] + to_a;
        const Cost by_b = b[i] + to_b;
        out[i] = by_b < by_a ? by_b : by_a;
    }
}

enum class Toward : bool { more, less };  // where the window's steps lead

// What a window holds: 0..reach steps of `stride` elements, each costing `step`.
template <class Cost>
struct Spread {
    Toward toward = Toward::more;
    std::ptrdiff_t stride = 1;
    int reach = 0;
    Cost step = 0;
    int missing = 0;  // the number of steps that may not be taken; 0: every one may
};

// Rows that take turns; kept between calls so that nothing is allocated anew.
template <class Cost>
struct SpreadRoom {
    std::vector<Cost> turn, beyond;
};

namespace detail {

// into[i] = the lesser of from[i] and what lies `steps` before it in the window's direction.
template <class Cost>
void one_pass(std::vector<Cost>& into, const std::vector<Cost>& from, const std::vector<Cost>& other,
              const Spread<Cost>& by, int steps) {
    const auto count = std::ssize(from);
    const std::ptrdiff_t shift = std::min<std::ptrdiff_t>(steps * by.stride, count);
    const Cost toll = by.step * static_cast<Cost>(steps);
    const std::ptrdiff_t inner = count - shift;
    into.resize(from.size());
    if (by.toward == Toward::more) {
        std::copy_n(from.data(), shift, into.data());
        least_of(into.data() + shift, from.data() + shift, Cost{0}, other.data(), toll, inner);
    } else {
        std::copy_n(from.data() + inner, shift, into.data() + inner);
        least_of(into.data(), from.data(), Cost{0}, other.data() + shift, toll, inner);
    }
}

template <class Cost>
void spread_all(std::vector<Cost>& values, const Spread<Cost>& by, int reach, std::vector<Cost>& turn) {
    for (int done = 0; done < reach;) {
        const int more = std::min(done + 1, reach - done);
        one_pass(turn, values, values, by, more);
        values.swap(turn);
        done += more;
    }
}

}  // namespace detail

// values[i] = min over 0 <= k <= reach, k not missing, of values[i ∓ k × stride] + k × step; elements outside
// do not exist.
template <class Cost>
void spread(std::vector<Cost>& values, const Spread<Cost>& by, SpreadRoom<Cost>& room) {
    if (by.missing == 0 || by.missing > by.reach) {
        detail::spread_all(values, by, by.reach, room.turn);
        return;
    }
    // The windows on either side of the missing step.
    const int beyond = by.missing + 1;
    if (beyond <= by.reach) {
        room.beyond = values;
        detail::spread_all(room.beyond, by, by.reach - beyond, room.turn);
    }
    detail::spread_all(values, by, by.missing - 1, room.turn);
    if (beyond > by.reach) return;
    detail::one_pass(room.turn, values, room.beyond, by, beyond);
    values.swap(room.turn);
}

}  // namespace lullwatt::plan
