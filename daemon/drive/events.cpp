#include "daemon/drive/events.hpp"

#include <fmt/format.h>

namespace lullwatt::daemon {

void Events::happened(const std::string& source, const std::string& kind, std::string text) {
    const Moment now = clock_.now();
    const auto [known, first] = memory_.try_emplace({source, kind}, Memory{now.boot});
    Memory& memory = known->second;
    if (!first && now.boot - memory.written < kQuiet) {
        ++memory.withheld;
        return;
    }
    if (memory.withheld > 0) text += fmt::format(" ({} more like it since)", memory.withheld);
    memory = {now.boot, 0};
    counted(source, kind, std::move(text));
}

void Events::counted(const std::string& source, const std::string& kind, std::string text) {
    store_.post(io::ledger::Event{
        .when = {clock_.now().wall, proven_}, .source = source, .kind = kind, .text = std::move(text)});
}

}  // namespace lullwatt::daemon
