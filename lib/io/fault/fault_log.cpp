#include "io/fault/fault_log.hpp"

#include <algorithm>
#include <utility>

namespace lullwatt::io {

void FaultLog::add(Fault fault) {
    fault.file = file_;
    if (++seen_[fault.key + '\n' + fault.what] <= kShown) faults_.push_back(std::move(fault));
}

Faults FaultLog::take() && {
    std::ranges::stable_sort(faults_, [](const Fault& a, const Fault& b) {
        return std::pair(a.line, a.column) < std::pair(b.line, b.column);
    });
    for (const auto& [kind, count] : seen_) {
        if (count <= kShown) continue;
        const auto cut = kind.find('\n');
        faults_.push_back({file_, 0, 0, kind.substr(0, cut),
                           "and " + std::to_string(count - kShown) + " more: " + kind.substr(cut + 1), "", "",
                           ""});
    }
    return std::move(faults_);
}

}  // namespace lullwatt::io
