#include "io/fault/printable.hpp"

#include <array>
#include <cstdint>

namespace lullwatt::io {
namespace {

struct Character {
    std::size_t bytes = 1;
    bool shown = false;
};

bool is_shown(std::uint32_t code) {
    const bool control = code < 0x20 || (code >= 0x7F && code < 0xA0);
    const bool line_end = code == 0x2028 || code == 0x2029;
    const bool direction = code == 0x200E || code == 0x200F || (code >= 0x202A && code <= 0x202E) ||
                           (code >= 0x2066 && code <= 0x2069);
    return !control && !line_end && !direction && code != 0xFEFF;
}

// The character at the front; a byte that begins none is one byte that is not shown (Unicode 15.0, table
// 3-7).
Character first_of(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
    const std::uint8_t lead = byte(0);
    const std::size_t bytes = lead < 0x80 ? 1 : lead < 0xC2 ? 0 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    if (bytes == 0 || bytes > text.size() || lead > 0xF4) return {};
    if (bytes == 1) return {1, is_shown(lead)};
    std::uint32_t code = lead & (0x7FU >> bytes);
    for (std::size_t i = 1; i < bytes; ++i) {
        if ((byte(i) & 0xC0U) != 0x80) return {};
        code = code << 6U | (byte(i) & 0x3FU);
    }
    constexpr std::array<std::uint32_t, 5> kLeast = {0, 0, 0x80, 0x800, 0x10000};
    if (code < kLeast[bytes] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return {};
    return {bytes, is_shown(code)};
}

void escape(std::string& out, char byte) {
    constexpr std::string_view kDigits = "0123456789ABCDEF";
    if (byte == '\n') {
        out += "\\n";
    } else if (byte == '\t') {
        out += "\\t";
    } else {
        const auto value = static_cast<std::uint8_t>(byte);
        out += {'\\', 'x', kDigits[value >> 4U], kDigits[value & 0xFU]};
    }
}

}  // namespace

std::string printable(std::string_view bytes, std::size_t most) {
    std::string out;
    for (std::size_t shown = 0; !bytes.empty(); ++shown) {
        if (shown == most) return out + "…";
        const Character next = first_of(bytes);
        if (next.shown) {
            out += bytes.substr(0, next.bytes);
        } else {
            for (const char byte : bytes.substr(0, next.bytes)) escape(out, byte);
        }
        bytes.remove_prefix(next.bytes);
    }
    return out;
}

}  // namespace lullwatt::io
