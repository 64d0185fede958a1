#include "core/quantity/money.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <limits>

namespace lullwatt {
namespace {

constexpr Wide kAttoPerMicro = 1'000'000'000'000;

Wide power_of_ten(int exponent) {
    Wide value = 1;
    for (int i = 0; i < exponent; ++i) value *= 10;
    return value;
}

// ISO 4217 (list of 2018, from memory): the codes whose minor unit is not a hundredth.
constexpr std::array<std::string_view, 16> kNoMinor = {"BIF", "CLP", "DJF", "GNF", "ISK", "JPY",
                                                       "KMF", "KRW", "PYG", "RWF", "UGX", "UYI",
                                                       "VND", "VUV", "XAF", "XOF"};
constexpr std::array<std::string_view, 7> kThousandths = {"BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"};

}  // namespace

Money rounded(ExactAmount amount, int digits) {
    assert(digits >= 0 && digits <= 6);
    const Wide step = kAttoPerMicro * power_of_ten(6 - digits);
    const Wide atto = amount.atto();
    const Wide units = (atto < 0 ? atto - step / 2 : atto + step / 2) / step;
    return Money(static_cast<std::int64_t>(units * power_of_ten(6 - digits)));
}

std::optional<int> minor_digits(std::string_view currency_code) {
    const bool three_capitals = currency_code.size() == 3 && std::ranges::all_of(currency_code, [](char c) {
                                    return c >= 'A' && c <= 'Z';
                                });
    if (!three_capitals) return std::nullopt;
    if (std::ranges::find(kNoMinor, currency_code) != kNoMinor.end()) return 0;
    if (std::ranges::find(kThousandths, currency_code) != kThousandths.end()) return 3;
    return 2;
}

std::optional<std::int64_t> parse_decimal(std::string_view text, int scale) {
    const bool negative = text.starts_with('-');
    if (negative || text.starts_with('+')) text.remove_prefix(1);
    const auto point = text.find('.');
    const std::string_view whole = text.substr(0, point);
    const std::string_view decimals = point == text.npos ? std::string_view{} : text.substr(point + 1);
    if (whole.empty() || (point != text.npos && decimals.empty())) return std::nullopt;
    if (decimals.size() > static_cast<std::size_t>(scale) || whole.size() > 20) return std::nullopt;

    Wide value = 0;
    const auto take = [&value](std::string_view digits) {
        for (const char c : digits) {
            if (c < '0' || c > '9') return false;
            value = value * 10 + (c - '0');
        }
        return true;
    };
    if (!take(whole) || !take(decimals)) return std::nullopt;
    value *= power_of_ten(scale - static_cast<int>(decimals.size()));
    if (value > std::numeric_limits<std::int64_t>::max()) return std::nullopt;
    return static_cast<std::int64_t>(negative ? -value : value);
}

std::string decimal_text(std::int64_t count, int scale, int least_decimals) {
    const bool negative = count < 0;
    Wide magnitude = negative ? -static_cast<Wide>(count) : count;
    std::string digits;
    do {
        digits.insert(digits.begin(), static_cast<char>('0' + static_cast<int>(magnitude % 10)));
        magnitude /= 10;
    } while (magnitude != 0);
    if (digits.size() <= static_cast<std::size_t>(scale)) {
        digits.insert(0, static_cast<std::size_t>(scale) + 1 - digits.size(), '0');
    }
    std::string decimals = digits.substr(digits.size() - static_cast<std::size_t>(scale));
    digits.resize(digits.size() - static_cast<std::size_t>(scale));
    while (decimals.size() > static_cast<std::size_t>(least_decimals) && decimals.ends_with('0')) {
        decimals.pop_back();
    }
    std::string text = negative ? "-" + digits : digits;
    if (!decimals.empty()) text += "." + decimals;
    return text;
}

std::string money_text(Money money, int digits) {
    const Wide atto = static_cast<Wide>(money.count()) * kAttoPerMicro;
    return decimal_text(rounded(ExactAmount(atto), digits).count(), 6, digits);
}

}  // namespace lullwatt
