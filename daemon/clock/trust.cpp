#include "daemon/clock/trust.hpp"

namespace lullwatt::daemon {

bool synchronized(const std::filesystem::path& file) {
    std::error_code none;
    return std::filesystem::exists(file, none);
}

}  // namespace lullwatt::daemon
