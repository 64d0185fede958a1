#include "core/quantity/money.hpp"

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

// ISO 4217 as the package iso-codes 4.15.0 of April 2023 lists it, without funds, metals and test codes; XCG
// and ZWG are younger (from memory). Codes that have ended since stay: old bills are in them.
constexpr std::string_view kCodes =
    "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN "
    "BZD CAD CDF CHF CLP CNY COP CRC CUC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL "
    "GHS GIP GMD GNF GTQ GYD HKD HNL HRK HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF "
    "KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR "
    "MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG "
    "SEK SGD SHP SLE SLL SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD "
    "UYU UZS VED VES VND VUV WST XAF XCD XCG XOF XPF YER ZAR ZMW ZWG ZWL ";

// The codes whose minor unit is not a hundredth (ISO 4217, list of 2018, from memory).
constexpr std::string_view kNoMinor = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF ";
constexpr std::string_view kThousandths = "BHD IQD JOD KWD LYD OMR TND ";

bool lists(std::string_view codes, std::string_view code) {
    for (std::size_t at = 0; at < codes.size(); at += 4) {
        if (codes.substr(at, 3) == code) return true;
    }
    return false;
}

}  // namespace

Money rounded(ExactAmount amount, int digits) {
    assert(digits >= 0 && digits <= 6);
    const Wide step = kAttoPerMicro * power_of_ten(6 - digits);
    const Wide atto = amount.atto();
    const Wide units = (atto < 0 ? atto - step / 2 : atto + step / 2) / step;
    return Money(static_cast<std::int64_t>(units * power_of_ten(6 - digits)));
}

std::optional<int> minor_digits(std::string_view currency_code) {
    if (!lists(kCodes, currency_code)) return std::nullopt;
    if (lists(kNoMinor, currency_code)) return 0;
    if (lists(kThousandths, currency_code)) return 3;
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
