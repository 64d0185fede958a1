#include "io/fault/fault.hpp"

#include "io/fault/printable.hpp"

namespace lullwatt::io {

Fault shown(const Fault& fault) {
    constexpr std::size_t kValue = 120;   // ours: a line and a half of a terminal
    constexpr std::size_t kProse = 1000;  // longer than any message of ours
    constexpr std::size_t kPath = 4096;   // PATH_MAX: a name cut short names nothing
    return {printable(fault.file, kPath),
            fault.line,
            fault.column,
            printable(fault.key, kValue),
            printable(fault.what, kProse),
            printable(fault.value, kValue),
            printable(fault.allowed, kProse),
            printable(fault.mend, kProse)};
}

std::string text(const Fault& raw) {
    const Fault fault = shown(raw);
    std::string out = fault.file;
    if (fault.line > 0) out += ":" + std::to_string(fault.line);
    if (fault.line > 0 && fault.column > 0) out += ":" + std::to_string(fault.column);
    out += ":";
    if (!fault.key.empty()) out += " " + fault.key;
    if (!fault.value.empty()) out += " '" + fault.value + "'";
    if (!fault.key.empty() || !fault.value.empty()) out += ":";
    out += " " + fault.what;
    const auto end_sentence = [&out] {
        if (!out.ends_with('?')) out += '.';
    };
    end_sentence();
    if (!fault.allowed.empty()) {
        out += " Allowed: " + fault.allowed;
        end_sentence();
    }
    if (!fault.mend.empty()) {
        out += " Mend: " + fault.mend;
        end_sentence();
    }
    return out;
}

}  // namespace lullwatt::io
