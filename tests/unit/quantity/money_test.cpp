#include "core/quantity/money.hpp"

#include "support/catch.hpp"

using namespace lullwatt;

namespace {

MilliwattHours kilowatt_hours(std::int64_t count) { return MilliwattHours(count * 1'000'000); }
Rate rate(const char* text) { return Rate(parse_decimal(text, 12).value()); }

}  // namespace

TEST_CASE("a line rounds once, halves away from zero", "[check:seymour-bill]") {
    // City of Seymour, bill comparison page, summer 2,000 kWh: 550 kWh × 0.0475 = 26.125, printed 26.13; half-even
    // would print 26.12.
    CHECK(money_text(rounded(kilowatt_hours(550) * rate("0.0475"), 2), 2) == "26.13");
    CHECK(money_text(rounded(kilowatt_hours(-550) * rate("0.0475"), 2), 2) == "-26.13");
    CHECK(money_text(rounded(kilowatt_hours(1110) * rate("0.0951"), 2), 2) == "105.56");
}

TEST_CASE("decimals are read exactly or not at all") {
    CHECK(parse_decimal("0.0951", 12) == 95'100'000'000);
    CHECK(parse_decimal("-3", 2) == -300);
    CHECK(parse_decimal("0.000000000001", 12) == 1);
    for (const char* bad :
         {"", ".", "1.", ".5", "1,5", "1e3", "0x1", "0.0000000000001", "99999999999999999999", "--1"}) {
        INFO(bad);
        CHECK_FALSE(parse_decimal(bad, 12).has_value());
    }
}

TEST_CASE("decimal text keeps what there is and no more") {
    CHECK(decimal_text(2'090'000, 6, 2) == "2.09");
    CHECK(decimal_text(-500'000, 6) == "-0.5");
    CHECK(decimal_text(0, 6, 2) == "0.00");
    CHECK(decimal_text(7, 0) == "7");
    CHECK(money_text(Money(1'005'000), 2) == "1.01");
    CHECK(money_text(Money(149'500'000), 0) == "150");
}

TEST_CASE("the minor unit is the currency's own") {
    CHECK(minor_digits("CAD") == 2);
    CHECK(minor_digits("JPY") == 0);
    CHECK(minor_digits("KWD") == 3);
    CHECK(minor_digits("XPF") == 0);
    CHECK(minor_digits("XCG") == 2);
    CHECK_FALSE(minor_digits("cad").has_value());
    CHECK_FALSE(minor_digits("CDA").has_value());
    CHECK_FALSE(minor_digits("XAU").has_value());  // gold is no money here
    CHECK_FALSE(minor_digits("D A").has_value());
    CHECK_FALSE(minor_digits("").has_value());
    CHECK_FALSE(minor_digits("DOLLAR").has_value());
}
