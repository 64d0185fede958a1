#include "io/zone/zone_file.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace lullwatt::io {
namespace {

constexpr std::size_t kHeaderBytes = 44;
constexpr std::size_t kCountsAt = 20;
constexpr std::size_t kTypeBytes = 6;  // offset, daylight flag, index of the abbreviation

// Big-endian, two's complement.
std::int64_t integer(std::string_view bytes) {
    std::uint64_t value =
        bytes.empty() || static_cast<signed char>(bytes.front()) >= 0 ? 0 : ~std::uint64_t{0};
    for (const char byte : bytes) value = value << 8U | static_cast<unsigned char>(byte);
    return static_cast<std::int64_t>(value);
}

struct Header {
    std::size_t ut_flags, standard_flags, leaps, transitions, types, letters;

    [[nodiscard]] std::size_t data_bytes(std::size_t time_bytes) const {
        return transitions * (time_bytes + 1) + types * kTypeBytes + letters + leaps * (time_bytes + 4) +
               standard_flags + ut_flags;
    }
};

// REQUIRES: kHeaderBytes are there.
Header parse_header(std::string_view bytes) {
    const auto count = [&](std::size_t n) {
        return static_cast<std::size_t>(integer(bytes.substr(kCountsAt + 4 * n, 4)) & 0xffff'ffff);
    };
    return {count(0), count(1), count(2), count(3), count(4), count(5)};
}

bool is_header(std::string_view bytes) { return bytes.size() >= kHeaderBytes && bytes.starts_with("TZif"); }

std::optional<Damage> damage(const Header& header, std::string_view data,
                             const std::vector<Instant>& transitions) {
    if (header.types == 0 || header.letters == 0) return Damage{"describes no clock"};
    if (header.leaps != 0) return Damage{"counts leap seconds, which no civil clock here does"};
    if (std::ranges::adjacent_find(transitions, std::ranges::greater_equal{}) != transitions.end()) {
        return Damage{"lists its transitions out of order"};
    }
    const std::string_view kinds = data.substr(header.transitions * 8, header.transitions);
    const std::string_view types = data.substr(header.transitions * 9, header.types * kTypeBytes);
    const bool kinds_exist = std::ranges::all_of(
        kinds, [&](char kind) { return static_cast<unsigned char>(kind) < header.types; });
    bool types_hold = true;
    for (std::size_t at = 0; at < types.size(); at += kTypeBytes) {
        const std::int64_t offset = integer(types.substr(at, 4));
        const auto letter = static_cast<unsigned char>(types[at + 5]);
        types_hold = types_hold && -86'400 < offset && offset < 86'400 && letter < header.letters;
    }
    const bool letters_end =
        data[header.transitions * 9 + header.types * kTypeBytes + header.letters - 1] == '\0';
    if (!kinds_exist || !types_hold || !letters_end) return Damage{"describes clocks that cannot be"};
    return std::nullopt;
}

}  // namespace

std::variant<ZoneFile, Damage> parse_zone_file(std::string_view bytes) {
    if (!is_header(bytes)) return Damage{"is no zone file"};
    if (bytes[4] < '2')
        return Damage{"is a zone file of the first version, which carries no rule at its end"};
    const std::size_t narrow = kHeaderBytes + parse_header(bytes).data_bytes(4);
    if (narrow > bytes.size() || !is_header(bytes.substr(narrow))) return Damage{"is cut short or damaged"};

    const std::string_view wide = bytes.substr(narrow);
    const Header header = parse_header(wide);
    const std::size_t end = kHeaderBytes + header.data_bytes(8);
    if (end + 2 > wide.size() || wide[end] != '\n' || wide.find('\n', end + 1) != wide.size() - 1) {
        return Damage{"is cut short or damaged"};
    }
    const std::string_view data = wide.substr(kHeaderBytes);
    std::vector<Instant> transitions;
    for (std::size_t n = 0; n < header.transitions; ++n) {
        transitions.emplace_back(Seconds{integer(data.substr(8 * n, 8))});
    }
    if (auto found = damage(header, data, transitions)) return *std::move(found);
    ZoneFile file;
    if (!transitions.empty()) file.last_transition = transitions.back();
    file.rule = wide.substr(end + 1, wide.size() - end - 2);
    return file;
}

}  // namespace lullwatt::io
