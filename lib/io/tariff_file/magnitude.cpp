#include "io/tariff_file/magnitude.hpp"

#include <algorithm>
#include <array>

namespace lullwatt::io {
namespace {

struct Limit {
    std::string_view currency;
    int whole_units;
};

// Ours. In the currencies with the largest units 3.9 is surely cents; where a unit is worth a tenth of
// those, prices of a few units do occur. Currencies that write no hundredths are left out, as are those
// whose unit is so small that both readings are possible.
constexpr std::array kLimits = {
    Limit{"AUD", 2},  Limit{"BHD", 2},  Limit{"CAD", 2},  Limit{"CHF", 2},  Limit{"EUR", 2},
    Limit{"GBP", 2},  Limit{"JOD", 2},  Limit{"KWD", 2},  Limit{"NZD", 2},  Limit{"OMR", 2},
    Limit{"SGD", 2},  Limit{"USD", 2},  Limit{"BRL", 10}, Limit{"CNY", 10}, Limit{"DKK", 10},
    Limit{"HKD", 10}, Limit{"ILS", 10}, Limit{"MXN", 10}, Limit{"MYR", 10}, Limit{"NOK", 10},
    Limit{"PLN", 10}, Limit{"RON", 10}, Limit{"SEK", 10}, Limit{"ZAR", 10}, Limit{"CZK", 50},
    Limit{"INR", 50}, Limit{"PHP", 50}, Limit{"THB", 50}, Limit{"TWD", 50},
};

}  // namespace

std::optional<Rate> implausible_rate(std::string_view currency) {
    const auto found = std::ranges::find(kLimits, currency, &Limit::currency);
    if (found == kLimits.end()) return std::nullopt;
    return Rate(found->whole_units * 1'000'000'000'000);
}

std::optional<Rate> implausible_adder(std::string_view currency) {
    const auto rate = implausible_rate(currency);
    if (!rate) return std::nullopt;
    return Rate(rate->count() / 4);  // 0.50 where a price of 2 is improbable
}

std::optional<Money> implausible_day(std::string_view currency) {
    const auto rate = implausible_rate(currency);
    if (!rate) return std::nullopt;
    return Money(rate->count() / 1'000'000 * 5 / 2);  // 5.00 where a price of 2 is improbable
}

}  // namespace lullwatt::io
