#include "daemon/wishes/wishes.hpp"

#include <algorithm>
#include <utility>

namespace lullwatt::daemon {

void Wishes::tell(OneOff need) {
    forget_need(need.car);
    needs.push_back(std::move(need));
}

void Wishes::tell(Held hold) {
    std::erase_if(holds, [&](const Held& each) { return each.car == hold.car; });
    holds.push_back(std::move(hold));
}

void Wishes::forget_need(const std::string& car) {
    std::erase_if(needs, [&](const OneOff& each) { return each.car == car; });
}

void Wishes::forget_hold(const std::string& car) {
    std::erase_if(holds, [&](const Held& each) { return car.empty() || each.car == car; });
}

bool Wishes::forget_past(Instant now) {
    const auto needs_over = std::erase_if(needs, [&](const OneOff& each) { return each.until <= now; });
    const auto holds_over = std::erase_if(holds, [&](const Held& each) { return each.until <= now; });
    return needs_over + holds_over > 0;
}

const OneOff* Wishes::need_of(const std::string& car) const {
    const auto found = std::ranges::find(needs, car, &OneOff::car);
    return found == needs.end() ? nullptr : &*found;
}

std::optional<Instant> Wishes::held_until(const std::string& car, Instant now) const {
    std::optional<Instant> latest;
    for (const Held& hold : holds) {
        if ((hold.car.empty() || hold.car == car) && hold.until > now)
            latest = std::max(latest, std::optional(hold.until));
    }
    return latest;
}

}  // namespace lullwatt::daemon
