// What a bench takes its times and quantiles with.
#pragma once

#include <algorithm>
#include <cstddef>
#include <ctime>
#include <vector>

namespace lullwatt::bench {

// The processor's time of this one process, in milliseconds: other work on the machine does not enter.
inline double now() {
    timespec at{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &at);
    return static_cast<double>(at.tv_sec) * 1e3 + static_cast<double>(at.tv_nsec) / 1e6;
}
inline double since(double begin) { return now() - begin; }

// 0 of none.
inline double quantile(std::vector<double> values, double share) {
    if (values.empty()) return 0;
    std::ranges::sort(values);
    return values[std::min(values.size() - 1,
                           static_cast<std::size_t>(share * static_cast<double>(values.size())))];
}

}  // namespace lullwatt::bench
