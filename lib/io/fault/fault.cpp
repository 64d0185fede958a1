#include "io/fault/fault.hpp"

namespace lullwatt::io {

std::string text(const Fault& fault) {
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
