#include "io/settings/currency.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

#include "core/quantity/money.hpp"

namespace lullwatt::io {
namespace {

std::optional<std::string> meant(std::string code) {
    for (char& c : code) {
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    }
    if (minor_digits(code)) return code;
    for (std::size_t at = 0; at + 1 < code.size(); ++at) {
        std::string swapped = code;
        std::swap(swapped[at], swapped[at + 1]);
        if (minor_digits(swapped)) return swapped;
    }
    return std::nullopt;
}

}  // namespace

Fault currency_fault(const Section& section) {
    const auto code = meant(section.get<std::string>("currency"));
    return section.fault(
        "currency", "is no currency code",
        "three capitals of ISO 4217 (the codes of April 2023, and XCG and ZWG), such as CAD",
        code ? fmt::format("did you mean '{}'?", *code) : "write the code of the bill's currency");
}

}  // namespace lullwatt::io
