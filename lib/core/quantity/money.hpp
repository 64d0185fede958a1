// Money and rates in whole numbers, and the one place where an exact amount is rounded.
//
// Values only; safe to use from any thread. No binary floating point in money.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/quantity/quantity.hpp"
#include "core/quantity/wide.hpp"

namespace lullwatt {

struct MicroCurrencyUnit;
struct PicoPerKilowattHourUnit;
struct PicoPerKilowattUnit;

// A result: 1e-6 of the currency's main unit. Which currency is the site's business.
using Money = Quantity<MicroCurrencyUnit, std::int64_t>;

// A price of energy: 1e-12 of the currency's main unit per kilowatt-hour, so all printed decimals are kept.
using Rate = Quantity<PicoPerKilowattHourUnit, std::int64_t>;

// A price of demand: the same per kilowatt of a bill's peak.
using DemandRate = Quantity<PicoPerKilowattUnit, std::int64_t>;

// An exact amount: 1e-18 of the currency's main unit, the product of milliwatt-hours and a Rate.
// A line of a bill sums these and rounds once.
class ExactAmount {
  public:
    constexpr ExactAmount() = default;
    constexpr explicit ExactAmount(Wide atto) : atto_(atto) {}
    constexpr explicit ExactAmount(Money money)
        : atto_(static_cast<Wide>(money.count()) * 1'000'000'000'000) {}
    [[nodiscard]] constexpr Wide atto() const { return atto_; }
    constexpr ExactAmount& operator+=(ExactAmount other) {
        atto_ += other.atto_;
        return *this;
    }
    friend constexpr ExactAmount operator+(ExactAmount a, ExactAmount b) { return a += b; }
    friend constexpr ExactAmount operator-(ExactAmount a, ExactAmount b) {
        return ExactAmount(a.atto_ - b.atto_);
    }
    friend constexpr auto operator<=>(ExactAmount, ExactAmount) = default;

  private:
    Wide atto_ = 0;
};

[[nodiscard]] constexpr ExactAmount operator*(MilliwattHours energy, Rate rate) {
    return ExactAmount(static_cast<Wide>(energy.count()) * rate.count());
}

[[nodiscard]] constexpr ExactAmount operator*(Milliwatts power, DemandRate rate) {
    return ExactAmount(static_cast<Wide>(power.count()) * rate.count());
}

// amount × n / d to the nearest 1e-18. REQUIRES: d > 0, and the product fits 127 bits.
[[nodiscard]] constexpr ExactAmount scaled(ExactAmount amount, std::int64_t n, std::int64_t d) {
    return ExactAmount(nearest_quotient(amount.atto() * n, d));
}

// Rounded to `digits` decimals of the main unit, halves away from zero (a published bill proves it:
// `seymour-bill` in docs/checks.md). REQUIRES: 0 <= digits <= 6.
[[nodiscard]] Money rounded(ExactAmount amount, int digits);

// Decimals of the minor unit by ISO 4217: JPY 0, KWD 3, most 2. Empty for a code that is no currency of it.
[[nodiscard]] std::optional<int> minor_digits(std::string_view currency_code);

// A decimal number written with digits and at most one point, as an integer of 10^-scale: "0.0951", 12.
// Empty when it is no such number, has more than `scale` decimals, or does not fit 64 bits.
[[nodiscard]] std::optional<std::int64_t> parse_decimal(std::string_view text, int scale);

// The shortest decimal text of count × 10^-scale with at least `least_decimals` decimals: "2.09", "-0.5".
[[nodiscard]] std::string decimal_text(std::int64_t count, int scale, int least_decimals = 0);

// Money rounded to the currency's minor unit as text, without the code: "2.09".
[[nodiscard]] std::string money_text(Money money, int digits);

}  // namespace lullwatt
