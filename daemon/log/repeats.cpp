#include "daemon/log/repeats.hpp"

#include <utility>

namespace lullwatt::daemon {

std::optional<unsigned> Repeats::pass(std::string_view key, std::string_view text, BootTime now) {
    const auto known = memory_.find(std::string(key));
    if (known == memory_.end()) {
        if (memory_.size() >= kMostRemembered) {
            std::erase_if(memory_, [&](const auto& entry) {
                return entry.second.withheld == 0 && now - entry.second.said >= kQuiet;
            });
        }
        if (memory_.size() < kMostRemembered) memory_[std::string(key)] = {now, 0, {}};
        return 0;
    }
    Memory& memory = known->second;
    if (now - memory.said < kQuiet) {
        ++memory.withheld;
        memory.text = text;
        return std::nullopt;
    }
    memory.said = now;
    return std::exchange(memory.withheld, 0U);
}

std::vector<Repeats::Withheld> Repeats::overdue(BootTime now) {
    std::vector<Withheld> found;
    for (auto entry = memory_.begin(); entry != memory_.end();) {
        Memory& memory = entry->second;
        if (now - memory.said < kQuiet) {
            ++entry;
        } else if (memory.withheld > 0) {
            found.push_back({entry->first, std::move(memory.text), memory.withheld});
            memory = {now, 0, {}};
            ++entry;
        } else {
            entry = memory_.erase(entry);
        }
    }
    return found;
}

std::vector<Repeats::Withheld> Repeats::all() {
    std::vector<Withheld> found;
    for (auto& [key, memory] : memory_) {
        if (memory.withheld > 0) found.push_back({key, std::move(memory.text), memory.withheld});
    }
    memory_.clear();
    return found;
}

}  // namespace lullwatt::daemon
