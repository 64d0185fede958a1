#include "tools/lullwatt/progress.hpp"

#include <algorithm>
#include <ostream>

namespace lullwatt::tools {

void Progress::say(const std::string& text) {
    if (to_ == nullptr || (text.empty() && width_ == 0)) return;
    const std::string rest(std::max(width_, text.size()) - text.size(), ' ');
    *to_ << '\r' << text << rest << (text.empty() ? "\r" : "") << std::flush;
    width_ = text.size();
}

}  // namespace lullwatt::tools
