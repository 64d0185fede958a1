#include "fuzz/price_a_year.hpp"

#include "core/account/bill.hpp"
#include "core/tariff/price_curve.hpp"
#include "core/tariff/window.hpp"
#include "io/tariff_file/tariff_file.hpp"

namespace lullwatt::fuzz {
namespace {

using namespace std::chrono_literals;
using date::operator""_y;
using date::sys_days;

constexpr account::DateSpan kYear{2026_y / 1 / 1, 2027_y / 1 / 1};
// Ten thousand kilowatt-hours at a million each, and a million a day besides.
constexpr Money kMost{4'000'000'000'000'000'000};

const std::variant<account::Metered, account::Typed>& usage() {
    static const std::variant<account::Metered, account::Typed> year = [] {
        account::Metered metered;
        std::uint32_t random = 7;
        for (Instant at = sys_days{kYear.from} - 48h; at < sys_days{kYear.to} + 48h; at += 1h) {
            random = random * 1'664'525U + 1'013'904'223U;
            metered.taken.push_back({{at, at + 1h}, MilliwattHours(random >> 11U)});
            if (random % 5 == 0) metered.given.push_back({{at, at + 1h}, MilliwattHours(random >> 12U)});
        }
        return metered;
    }();
    return year;
}

account::Terms terms() {
    account::Terms terms;
    terms.fuse = WholeAmps(16);
    terms.contracted = Milliwatts(9'000'000);
    terms.given_peak = Milliwatts(4'200'000);
    return terms;
}

std::string broken_by_bills(const std::vector<account::Bill>& bills) {
    for (const account::Bill& bill : bills) {
        Money sum;
        for (const account::Line& line : bill.lines) {
            if (line.amount > kMost || line.amount < -kMost)
                return "a line of " + line.name + " is out of bounds";
            sum += line.amount;
        }
        if (sum != bill.total) return "lines do not sum to the total";
    }
    return "";
}

}  // namespace

std::string broken_by(const std::string& text) {
    const auto read = io::read_tariff_text(text, "fuzz.yaml", "/nonexistent");
    if (!read.ok()) {
        for (const io::Fault& fault : read.faults()) {
            if (io::text(fault).empty()) return "a fault without words";
        }
        return "";
    }
    const auto tariff = tariff::with_prices_of(read.value(), kYear.from);
    if (!tariff) return "";
    const Zone clock = Zone::fixed(0h);
    const auto curve = tariff::price_curve(*tariff, clock, {sys_days{kYear.from}, sys_days{kYear.to}});
    if (!std::holds_alternative<tariff::PriceCurve>(curve))
        return "an accepted tariff leaves hours without a price";
    const auto bills = account::bills(*tariff, clock, tariff::bills_in({}, kYear), usage(), terms());
    if (const auto* made = std::get_if<std::vector<account::Bill>>(&bills)) return broken_by_bills(*made);
    return std::get<account::Refusal>(bills).what.empty() ? "a refusal without words" : "";
}

}  // namespace lullwatt::fuzz
