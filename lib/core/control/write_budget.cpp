#include "core/control/write_budget.hpp"

#include <algorithm>

namespace lullwatt::control {
namespace {

constexpr auto kNoon = std::chrono::hours{12};
constexpr auto kDay = std::chrono::hours{24};

}  // namespace

Instant next_noon(Instant at, const Zone& zone) {
    const CivilTime label = zone.civil(at);
    const auto day = std::chrono::floor<date::days>(label);
    const CivilTime noon = day + kNoon;
    return zone.instant(label < noon ? noon : day + date::days{1} + kNoon);
}

void WriteBudget::look(const Now& now, const Zone& zone) {
    const bool by_wall = now.wall && so_far_.night_ends && *now.wall >= *so_far_.night_ends;
    const bool by_boot = now.boot - night_began_ >= kDay;
    if (by_wall || by_boot) {
        so_far_.tonight = 0;
        so_far_.night_ends.reset();
        night_began_ = now.boot;
    }
    if (now.wall && !so_far_.night_ends) so_far_.night_ends = next_noon(*now.wall, zone);
}

void WriteBudget::wrote() {
    ++so_far_.ever;
    ++so_far_.tonight;
}

}  // namespace lullwatt::control
