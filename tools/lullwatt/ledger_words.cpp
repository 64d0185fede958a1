#include "tools/lullwatt/ledger_words.hpp"

#include <date/date.h>

#include "core/quantity/money.hpp"
#include "io/fault/printable.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {

std::string label_text(const Zone& zone, Instant at) {
    if (!zone.known().contains(at)) return date::format("%F %RZ", at);
    return date::format("%F %R", date::floor<std::chrono::minutes>(zone.civil(at)));
}

std::string instant_text(const Zone& zone, Instant at) {
    return zone.known().contains(at) ? iso_text(zone, at) : date::format("%FT%TZ", at);
}

std::string kwh_text(WattHours energy) { return decimal_text(energy.count(), 3); }

std::string shown_name(const std::string& name) {
    constexpr std::size_t kLongest = 60;
    return io::printable(name, kLongest);
}

std::string csv_text(const std::string& name) {
    std::string text = shown_name(name);
    if (text.find_first_of(",\"") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
    return quoted + "\"";
}

}  // namespace lullwatt::tools
